import { randomUUID } from "node:crypto";
import { createConfig, lintFromString } from "@redocly/openapi-core";
import { Ajv2020, type ValidateFunction } from "ajv/dist/2020.js";
import addFormats from "ajv-formats";
import { generateSync } from "json-schema-faker";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startTestService, type TestPerson, type TestService } from "../support/service.ts";

/**
 * The published description, read by tools that know nothing of this project: a linter, a generator
 * of requests and a validator of answers.
 */
interface Schema {
  readonly [key: string]: unknown;
}
interface Described {
  readonly operationId: string;
  readonly description: string;
  readonly security: readonly unknown[];
  readonly parameters: readonly {
    readonly name: string;
    readonly in: "path" | "query" | "header";
    readonly required: boolean;
    readonly schema: Schema;
  }[];
  readonly requestBody?: {
    readonly content: Readonly<Record<string, { readonly schema: Schema }>>;
  };
  readonly responses: Readonly<
    Record<string, { readonly content?: Readonly<Record<string, { readonly schema: Schema }>> }>
  >;
}
interface OpenApi {
  readonly paths: Readonly<Record<string, Readonly<Record<string, Described>>>>;
  readonly components: { readonly schemas: Readonly<Record<string, Schema>> };
}

let service: TestService;
let text = "";
let document: OpenApi;
let people: Readonly<Record<string, TestPerson>>;
let validate: (schema: Schema, value: unknown) => string | null;

beforeAll(async () => {
  service = await startTestService();
  const { vet, farrier, manager, carer, owner } = service;
  people = { vet, farrier, manager, carer, owner };
  text = (await service.app.inject({ url: "/api/v1/openapi.json" })).body;
  document = JSON.parse(text) as OpenApi;
  const ajv = new Ajv2020({ strict: false, allErrors: true });
  addFormats.default(ajv);
  ajv.addSchema({ $id: "https://heelward.invalid/api", components: document.components });
  const known = new Map<Schema, ValidateFunction>();
  validate = (schema, value) => {
    const absolute = JSON.parse(
      JSON.stringify(schema).replaceAll('"#/', '"https://heelward.invalid/api#/'),
    ) as Schema;
    const check = known.get(schema) ?? ajv.compile(absolute);
    known.set(schema, check);
    return check(value) ? null : ajv.errorsText(check.errors);
  };
});
afterAll(async () => {
  await service.close();
});

const operations = () =>
  Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, operation]) => ({ path, method, ...operation })),
  );

const someoneFor = (description: string): TestPerson | undefined =>
  Object.entries(people).find(([role]) => description.includes(role))?.[1] ?? people["vet"];

/** A made value for a schema, with the parts it points to beside it. */
const fake = (schema: Schema, seed: number): unknown =>
  generateSync(
    { ...schema, components: document.components } as never,
    {
      seed,
      alwaysFakeOptionals: false,
      optionalsProbability: 0.5,
      minItems: 0,
      maxItems: 3,
    } as never,
  );

describe("the published description", () => {
  it("has no fault that an OpenAPI linter finds", async () => {
    const config = await createConfig({ extends: ["recommended"] });
    const found = await lintFromString({ source: text, absoluteRef: "/openapi.json", config });
    expect(
      found.map((one) => `${one.ruleId} ${one.location[0]?.pointer ?? ""}: ${one.message}`),
    ).toEqual([]);
  });

  it("names the same thing once: every reference leads somewhere", () => {
    const targets = [...text.matchAll(/"\$ref":"#\/components\/schemas\/([^"]+)"/gu)].map(
      (match) => match[1] ?? "",
    );
    expect(targets.length).toBeGreaterThan(300);
    for (const name of new Set(targets)) expect(document.components.schemas).toHaveProperty(name);
    expect(text).not.toContain("$defs");
  });
});

describe("requests made from the description alone", () => {
  const ENDS_THE_CALLER = new Set([
    "signOut",
    "changePassword",
    "revokeSession",
    "changePerson",
    "erasePerson",
    "clearFactors",
  ]);

  it("never break the service, and every answer is one it describes", async () => {
    const faults: string[] = [];
    const seen: Record<string, number> = {};
    for (const one of operations()) {
      if (ENDS_THE_CALLER.has(one.operationId)) continue;
      const person = one.security.length === 0 ? undefined : someoneFor(one.description);
      for (let seed = 1; seed <= 6; seed += 1) {
        const value = (place: "path" | "query") =>
          one.parameters
            .filter((parameter) => parameter.in === place && (parameter.required || seed % 2 === 0))
            .map((parameter): [string, string] => [
              parameter.name,
              parameter.name === "horseId" && seed % 3 === 0
                ? service.horseId
                : String(fake(parameter.schema, seed)),
            ]);
        const address = value("path").reduce(
          (path, [name, given]) => path.replace(`{${name}}`, encodeURIComponent(given)),
          one.path,
        );
        const body = one.requestBody?.content["application/json"]?.schema;
        // One request after the other: what one writes the next may read.
        // oxlint-disable-next-line no-await-in-loop
        const answer = await service.app.inject({
          method: one.method.toUpperCase() as "GET",
          url: address,
          query: Object.fromEntries(value("query")),
          headers: {
            ...(person === undefined ? {} : { authorization: `Bearer ${person.token}` }),
            "idempotency-key": randomUUID(),
            "if-match": '"1"',
            ...(body === undefined ? {} : { "content-type": "application/json" }),
          } satisfies Record<string, string>,
          ...(body === undefined ? {} : { payload: JSON.stringify(fake(body, seed)) }),
        });
        const { statusCode } = answer;
        seen[String(statusCode)] = (seen[String(statusCode)] ?? 0) + 1;
        const described =
          one.responses[String(statusCode)] ??
          (statusCode < 500 ? one.responses["4XX"] : undefined);
        const type = String(answer.headers["content-type"]).split(";")[0] ?? "";
        const schema = Object.entries(described?.content ?? {}).find(
          ([name]) => name.split(";")[0] === type,
        )?.[1].schema;
        const what = `${one.operationId} (${seed}): ${statusCode}`;
        if (described === undefined)
          faults.push(`${what} is not described ${answer.body.slice(0, 200)}`);
        else if (statusCode !== 204 && schema === undefined) faults.push(`${what} as ${type}`);
        else if (type.endsWith("json") && schema !== undefined) {
          const wrong = validate(schema, answer.json());
          if (wrong !== null) faults.push(`${what}: ${wrong.slice(0, 300)}`);
        }
      }
    }
    expect(faults).toEqual([]);
    expect(seen["200"]).toBeGreaterThan(100);
    expect(seen["201"]).toBeGreaterThan(10);
  }, 120_000);
});
