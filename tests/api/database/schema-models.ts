/** A column as the ORM's schema describes it. */
export interface ModelColumn {
  readonly column: string;
  /** Name the server uses for the type, with `[]` for arrays and `(n)` for a precision. */
  readonly type: string;
  readonly isNullable: boolean;
}

/** A table as the ORM's schema describes it. */
export interface Model {
  readonly table: string;
  readonly columns: readonly ModelColumn[];
  /** Columns of the primary key, in order. */
  readonly key: readonly string[];
}

// The ORM's own table of scalar types for this database, and the `@db.` types in use.
const scalarTypes: Readonly<Record<string, string>> = {
  BigInt: "int8",
  Boolean: "bool",
  Bytes: "bytea",
  DateTime: "timestamp(3)",
  Decimal: "numeric",
  Float: "float8",
  Int: "int4",
  Json: "jsonb",
  String: "text",
};
const nativeTypes: Readonly<Record<string, string>> = {
  Date: "date",
  JsonB: "jsonb",
  SmallInt: "int2",
  Uuid: "uuid",
};

const nativeType = (attributes: string): string | undefined => {
  const native = /@db\.(\w+)(?:\((\d+)\))?/u.exec(attributes);
  if (native === null) return undefined;
  const [, name = "", precision] = native;
  if (name === "Timestamptz")
    return precision === undefined ? "timestamptz" : `timestamptz(${precision})`;
  const known = nativeTypes[name];
  if (known === undefined) throw new Error(`@db.${name} has no entry here`);
  return known;
};

const parseField = (
  line: string,
): ModelColumn & { readonly field: string; readonly isId: boolean } => {
  const parts = /^(\w+)\s+(\w+)(\[\])?(\?)?\s*(.*)$/u.exec(line);
  if (parts === null) throw new Error(`A line of the schema was not understood: ${line}`);
  const [, field = "", scalar = "", array = "", optional, attributes = ""] = parts;
  const type = nativeType(attributes) ?? scalarTypes[scalar];
  if (type === undefined) throw new Error(`${field}: type ${scalar} has no entry here`);
  return {
    field,
    column: /@map\("([^"]+)"\)/u.exec(attributes)?.[1] ?? field,
    type: `${type}${array}`,
    isNullable: optional === "?",
    isId: /@id\b/u.test(attributes),
  };
};

const parseModel = (name: string, body: string): Model => {
  const lines = body
    .split("\n")
    .map((line) => line.replace(/\/\/.*$/u, "").trim())
    .filter((line) => line !== "");
  const fields = lines.filter((line) => !line.startsWith("@@")).map(parseField);
  const blocks = lines.filter((line) => line.startsWith("@@")).join("\n");
  const compound = /@@id\(\[([^\]]+)\]/u
    .exec(blocks)?.[1]
    ?.split(",")
    .map((field) => field.trim());
  const keyFields = compound ?? fields.filter(({ isId }) => isId).map(({ field }) => field);
  return {
    table: /@@map\("([^"]+)"\)/u.exec(blocks)?.[1] ?? name,
    columns: fields.map(({ column, type, isNullable }) => ({ column, type, isNullable })),
    key: keyFields.map((key) => fields.find(({ field }) => field === key)?.column ?? key),
  };
};

/**
 * Reads the models of a schema whose fields stand one per line. Deliberately strict: a line or type
 * it does not know is an error, never skipped.
 */
export const parseModels = (schema: string): readonly Model[] =>
  [...schema.matchAll(/^model (\w+) \{\n(.*?)^\}/gmsu)].map((match) =>
    parseModel(match[1] ?? "", match[2] ?? ""),
  );
