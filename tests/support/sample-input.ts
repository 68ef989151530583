import { z } from "zod";

type JsonSchema = Readonly<Record<string, unknown>> & { readonly type?: string };

const FORMATS: Readonly<Record<string, string>> = {
  uuid: "0199e000-0000-7000-8000-000000000001",
  date: "2026-10-12",
  "date-time": "2026-10-12T08:00:00+01:00",
  email: "someone@test.invalid",
};

const PATTERNS: readonly (readonly [RegExp, string])[] = [[/^\^\(\[01\]/, "08:00"]];

const sampleString = (schema: JsonSchema): string => {
  const format = schema["format"];
  if (typeof format === "string" && FORMATS[format] !== undefined) return FORMATS[format];
  const pattern = schema["pattern"];
  const known =
    typeof pattern === "string" ? PATTERNS.find(([like]) => like.test(pattern)) : undefined;
  if (known !== undefined) return known[1];
  const length = Math.max(typeof schema["minLength"] === "number" ? schema["minLength"] : 1, 4);
  return "sample text here and more of it again and again".slice(0, length).padEnd(length, "x");
};

const sampleNumber = (schema: JsonSchema): number => {
  const low = Number(schema["minimum"] ?? schema["exclusiveMinimum"] ?? 0);
  const high = Number(schema["maximum"] ?? low + 10);
  const middle = Math.min(high, Math.max(low, low + 1));
  return schema.type === "integer" ? Math.ceil(middle) : middle;
};

/** The schema that a `$ref` into the same document stands for. Source: RFC 6901 for the pointer. */
const resolved = (schema: JsonSchema, root: JsonSchema): JsonSchema => {
  const ref = schema["$ref"];
  if (typeof ref !== "string") return schema;
  if (ref !== "#" && !ref.startsWith("#/"))
    throw new Error(`not a reference into this schema: ${ref}`);
  const found = ref
    .split("/")
    .slice(1)
    .map((part) => decodeURIComponent(part).replaceAll("~1", "/").replaceAll("~0", "~"))
    .reduce<unknown>(
      (at, key) => (at as Readonly<Record<string, unknown>> | undefined)?.[key],
      root,
    );
  if (typeof found !== "object" || found === null) throw new Error(`nothing stands at ${ref}`);
  return resolved(found as JsonSchema, root);
};

/** The smallest input that fits a schema: required parts only. */
const sampleOf = (given: JsonSchema, root: JsonSchema): unknown => {
  const schema = resolved(given, root);
  if ("const" in schema) return schema["const"];
  const options = schema["enum"] as unknown[] | undefined;
  if (options !== undefined) return options[0];
  const choice = (schema["anyOf"] ?? schema["oneOf"]) as JsonSchema[] | undefined;
  if (choice !== undefined) return sampleOf(choice[0] ?? {}, root);
  switch (schema.type) {
    case "string":
      return sampleString(schema);
    case "number":
    case "integer":
      return sampleNumber(schema);
    case "boolean":
      return true;
    case "null":
      return null;
    case "array":
      return Array.from({ length: Number(schema["minItems"] ?? 0) }, () =>
        sampleOf((schema["items"] ?? {}) as JsonSchema, root),
      );
    case "object": {
      const properties = (schema["properties"] ?? {}) as Record<string, JsonSchema>;
      const required = (schema["required"] ?? []) as string[];
      return Object.fromEntries(
        required.map((name) => [name, sampleOf(properties[name] ?? {}, root)]),
      );
    }
    default:
      return {};
  }
};

const jsonSchemaOf = (schema: z.ZodType): JsonSchema =>
  z.toJSONSchema(schema, { io: "input", unrepresentable: "any" }) as JsonSchema;

/** A small input that fits the schema's own checks, made from its JSON Schema. */
export const sampleInput = (schema: z.ZodType): Record<string, unknown> => {
  const root = jsonSchemaOf(schema);
  return sampleOf(root, root) as Record<string, unknown>;
};

const resolvedRoot = (schema: z.ZodType): JsonSchema => {
  const root = jsonSchemaOf(schema);
  return resolved(root, root);
};

/** Names of all fields of an object schema. */
export const fieldsOf = (schema: z.ZodType): string[] =>
  Object.keys((resolvedRoot(schema)["properties"] ?? {}) as object);
