import { OPERATIONS, PROBLEMS, problem, type Operation } from "@heelward/contracts";
import scalar from "@scalar/fastify-api-reference";
import type { FastifyInstance } from "fastify";
import { z } from "zod";

type JsonSchema = Record<string, unknown>;

/** Schemas with a name, as they stand once for the whole document. */
type Named = Map<string, JsonSchema>;

const pointed = (value: unknown, names: ReadonlyMap<string, string>): unknown => {
  if (Array.isArray(value)) return value.map((one) => pointed(one, names));
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([key, one]) => {
      const name =
        key === "$ref" && typeof one === "string"
          ? names.get(one.slice("#/$defs/".length))
          : undefined;
      return [key, name === undefined ? pointed(one, names) : `#/components/schemas/${name}`];
    }),
  );
};

/** Takes a name for a schema; another schema under the same name gets a name of its own. */
const nameFor = (wanted: string, text: string, taken: ReadonlyMap<string, string>): string => {
  for (let turn = 1; ; turn += 1) {
    const name = turn === 1 ? wanted : `${wanted}${turn}`;
    const known = taken.get(name);
    if (known === undefined || known === text) return name;
  }
};

/** The JSON Schema of a contract; its named parts move to where the document keeps them. */
const schemaReader = (named: Named) => {
  const texts = new Map<string, string>();
  return (schema: z.ZodType, io: "input" | "output"): JsonSchema => {
    const {
      $schema: _,
      $defs = {},
      ...rest
    } = z.toJSONSchema(schema, { io, unrepresentable: "any", reused: "inline" }) as JsonSchema & {
      $defs?: Record<string, JsonSchema>;
    };
    const names = new Map<string, string>();
    for (const [id, one] of Object.entries($defs)) {
      const text = JSON.stringify(one);
      // A schema that zod could not name is called `__schema0` and so on.
      const name = nameFor(id.startsWith("__") ? "Part" : id, text, texts);
      texts.set(name, text);
      names.set(id, name);
    }
    for (const [id, one] of Object.entries($defs)) {
      const { id: _id, ...content } = pointed(one, names) as JsonSchema;
      named.set(names.get(id) ?? id, content);
    }
    const { id: _own, ...content } = pointed(rest, names) as JsonSchema;
    return content;
  };
};
type SchemaOf = ReturnType<typeof schemaReader>;

const parametersOf = (
  schemaOf: SchemaOf,
  schema: z.ZodType | undefined,
  place: "path" | "query",
): JsonSchema[] => {
  if (schema === undefined) return [];
  const { properties = {}, required = [] } = schemaOf(schema, "input") as {
    properties?: Record<string, JsonSchema>;
    required?: string[];
  };
  return Object.entries(properties).map(([name, one]) => ({
    name,
    in: place,
    required: place === "path" || required.includes(name),
    schema: one,
  }));
};

const header = (name: string, description: string): JsonSchema => ({
  name,
  in: "header",
  required: true,
  description,
  schema: { type: "string" },
});

const problemAnswer = {
  description: "A problem (RFC 9457)",
  content: {
    "application/problem+json": { schema: { $ref: "#/components/schemas/Problem" } },
  },
};

const describe = (schemaOf: SchemaOf, operation: Operation): JsonSchema => {
  const isWrite = operation.method !== "GET" && operation.computes !== true;
  const content =
    operation.produces === undefined
      ? { "application/json": { schema: schemaOf(operation.response, "output") } }
      : { [operation.produces]: { schema: { type: "string", format: "binary" } } };
  const body = operation.body === undefined ? undefined : schemaOf(operation.body, "input");
  const withFile =
    body === undefined || operation.upload !== true
      ? body
      : {
          ...body,
          properties: {
            file: { type: "string", format: "binary" },
            ...(body["properties"] as object),
          },
          required: ["file", ...((body["required"] as string[] | undefined) ?? [])],
        };
  return {
    operationId: operation.id,
    summary: operation.summary,
    description:
      operation.access === "public"
        ? "No sign-in needed."
        : operation.access === "anyone"
          ? "Any signed-in person."
          : `Roles: ${operation.access.join(", ")}.`,
    tags: [operation.tag],
    security: operation.access === "public" ? [] : [{ bearer: [] }, { cookie: [] }],
    parameters: [
      ...parametersOf(schemaOf, operation.params, "path"),
      ...parametersOf(schemaOf, operation.query, "query"),
      ...(isWrite
        ? [
            header(
              "Idempotency-Key",
              "8 to 100 letters, digits, - or _; the same for a repeat of the same request",
            ),
          ]
        : []),
      ...(operation.ifMatch === true ? [header("If-Match", "the ETag you read")] : []),
    ],
    ...(withFile === undefined
      ? {}
      : {
          requestBody: {
            required: true,
            content: {
              [operation.upload === true ? "multipart/form-data" : "application/json"]: {
                schema: withFile,
              },
            },
          },
        }),
    responses: {
      [operation.status]:
        operation.status === 204 ? { description: "Done" } : { description: "Done", content },
      "4XX": problemAnswer,
      "5XX": problemAnswer,
    },
  };
};

/** The OpenAPI 3.1 document, made from the contracts alone. */
const openApiDocument = (): JsonSchema => {
  const named: Named = new Map();
  const schemaOf = schemaReader(named);
  // Named in its own contract, so reading it puts it where the answers point to.
  schemaOf(problem, "output");
  const paths: Record<string, Record<string, JsonSchema>> = {};
  for (const operation of OPERATIONS) {
    const path = `/api/v1${operation.path.replaceAll(/:(\w+)/g, "{$1}")}`;
    paths[path] = {
      ...paths[path],
      [operation.method.toLowerCase()]: describe(schemaOf, operation),
    };
  }
  return {
    openapi: "3.1.0",
    info: {
      title: "Heelward",
      version: "1",
      license: { name: "Unlicensed", url: "https://heelward.invalid/licence" },
      description: `One shared case file for the vet, farrier, yard and owner of a horse with laminitis. The service computes and checks; a licensed person signs.\n\nEvery error is a problem document; its type ends in one of: ${Object.keys(PROBLEMS).join(", ")}.`,
    },
    servers: [{ url: "/" }],
    paths,
    components: {
      schemas: Object.fromEntries(named),
      securitySchemes: {
        bearer: { type: "http", scheme: "bearer", bearerFormat: "JWT" },
        cookie: { type: "apiKey", in: "cookie", name: "heelward_access" },
      },
    },
    tags: [...new Set(OPERATIONS.map((one) => one.tag))].map((name) => ({
      name,
      description: `Operations about ${name}.`,
    })),
  };
};

/** Serves the document and a page to browse it. The page's own script needs a looser policy, there only. */
export const installOpenApi = (app: FastifyInstance): void => {
  const document = JSON.stringify(openApiDocument());
  app.get("/api/v1/openapi.json", (_request, reply) =>
    reply.type("application/json").send(document),
  );
  app.addHook("onSend", async (request, reply, payload) => {
    if (request.url.startsWith("/docs"))
      reply.header(
        "content-security-policy",
        "default-src 'self'; script-src 'self' 'unsafe-inline'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; font-src 'self' data:; connect-src 'self'; frame-ancestors 'none'",
      );
    return payload;
  });
  void app.register(scalar, {
    routePrefix: "/docs",
    configuration: { content: document, withDefaultFonts: false, telemetry: false },
  });
};
