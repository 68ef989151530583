import type { Plugin } from "vite";

const NAME = "virtual:operation-table";

/**
 * Serves `virtual:operation-table`: method, path, headers and tag of every operation, read from the
 * contracts at build time. The browser gets this table (about 3 kB) and the types, and not the
 * schemas and their library (over 40 kB); the two cannot drift apart because one is made from the
 * other.
 */
export const operationTable = (): Plugin => ({
  name: "heelward-operation-table",
  resolveId: (id) => (id === NAME ? `\0${NAME}` : undefined),
  load: async (id) => {
    if (id !== `\0${NAME}`) return undefined;
    const { OPERATIONS, isWrite } = await import("@heelward/contracts");
    const rows = OPERATIONS.map((one) => [
      one.id,
      [
        one.method,
        one.path,
        [
          isWrite(one) ? "k" : "",
          one.upload === true ? "u" : "",
          one.produces === undefined ? "" : "b",
        ].join(""),
        one.tag,
      ],
    ]);
    return `export const OPERATION_TABLE = ${JSON.stringify(Object.fromEntries(rows))};`;
  },
});
