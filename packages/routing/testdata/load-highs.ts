import { createRequire } from "node:module";

/** The part of the HiGHS package the tests use; its own type file describes no callable default. */
export interface ModelSolver {
  readonly solve: (
    text: string,
    options?: Readonly<Record<string, number | string | boolean>>,
  ) => { readonly Status: string; readonly ObjectiveValue: number };
}

/** Loads the solver (MIT licence, Huangfu & Hall 2018, Mathematical Programming Computation 10:119–142). */
export const loadHighs = async (): Promise<ModelSolver> => {
  const load: unknown = createRequire(import.meta.url)("highs");
  if (typeof load !== "function") throw new Error("unexpected shape of the highs package");
  return (await load()) as ModelSolver;
};
