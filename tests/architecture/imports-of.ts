import { Visitor, parseSync } from "oxc-parser";

/** One place where a source file reaches for another module. */
export interface Import {
  /** As written, for example `../cases/service.ts` or `node:fs`. */
  readonly specifier: string;
  /** True when nothing of it remains at run time. */
  readonly isTypeOnly: boolean;
}

const literal = (node: unknown): string => {
  if (typeof node === "object" && node !== null && "value" in node) return String(node.value);
  throw new Error("An import whose target is computed cannot be checked; write it as a string.");
};

/**
 * Every module a file asks for, in whatever way: import, re-export, dynamic import, `import("…")`
 * in a type, `require("…")`. Read by a real parser, so that text in comments and strings is no import.
 *
 * @throws when the file does not parse or an import has a computed target
 */
export const importsOf = (path: string, source: string): readonly Import[] => {
  const { program, errors } = parseSync(path, source);
  const fault = errors[0];
  if (fault !== undefined) throw new Error(`${path} does not parse: ${fault.message}`);
  const found: Import[] = [];
  const add = (target: unknown, isTypeOnly: boolean): void => {
    found.push({ specifier: literal(target), isTypeOnly });
  };
  new Visitor({
    ImportDeclaration: (node) => {
      const everyNameIsType =
        node.specifiers.length > 0 &&
        node.specifiers.every(
          (name) => name.type === "ImportSpecifier" && name.importKind === "type",
        );
      add(node.source, node.importKind === "type" || everyNameIsType);
    },
    ExportNamedDeclaration: (node) => {
      if (node.source === null) return;
      add(node.source, node.exportKind === "type");
    },
    ExportAllDeclaration: (node) => add(node.source, node.exportKind === "type"),
    ImportExpression: (node) => add(node.source, false),
    TSImportType: (node) => add(node.source, true),
    TSExternalModuleReference: (node) => add(node.expression, false),
    CallExpression: (node) => {
      const [target] = node.arguments;
      const isRequire = node.callee.type === "Identifier" && node.callee.name === "require";
      // A computed `require` loads a package's own file by path; module code has no other use for it.
      if (isRequire && target?.type === "Literal") add(target, false);
    },
  }).visit(program);
  return found;
};
