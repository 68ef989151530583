import type { z } from "zod";
import { Problem } from "./problem.ts";

/** What a schema makes of its input; undefined where an operation has none. */
export type Out<S> = S extends z.ZodType ? z.output<S> : undefined;
/** What a schema accepts. */
export type In<S> = S extends z.ZodType ? z.input<S> : undefined;

/** Parses one part of a request. `where` is the prefix of the JSON pointers. @throws Problem naming every field at fault. */
export const parse = <S extends z.ZodType>(
  schema: S | undefined,
  value: unknown,
  where: string,
): Out<S> => {
  if (schema === undefined) return undefined as Out<S>;
  const parsed = schema.safeParse(value ?? {});
  if (parsed.success) return parsed.data as Out<S>;
  const errors = parsed.error.issues.flatMap((issue) => {
    const path = issue.path.map((part) => String(part).replaceAll("~", "~0").replaceAll("/", "~1"));
    if (issue.code === "unrecognized_keys")
      return issue.keys.map((key) => ({
        pointer: `${where}/${[...path, key].join("/")}`,
        detail: "is not known here; remove it",
      }));
    return [
      { pointer: path.length === 0 ? where : `${where}/${path.join("/")}`, detail: issue.message },
    ];
  });
  const first = errors[0];
  throw new Problem(
    "malformed-request",
    `${first?.pointer ?? where}: ${first?.detail ?? "does not fit"}`,
    { errors },
  );
};
