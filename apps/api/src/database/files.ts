import { fileURLToPath } from "node:url";

/**
 * Absolute path of the repository's top folder. The same number of steps up from `src/database`
 * and from the compiled `dist/database`, so sources and build find the same files.
 */
export const repositoryFolder = fileURLToPath(new URL("../../../../", import.meta.url));
