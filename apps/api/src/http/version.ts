import { Problem } from "./problem.ts";

/** Checks the version a caller saw against the one stored. @throws Problem `version-conflict`. */
export const assertVersion = (seen: number, current: number): void => {
  if (seen !== current)
    throw new Problem(
      "version-conflict",
      `You saw version ${seen}; it is now version ${current}.`,
      { currentVersion: current },
    );
};
