import { randomInt } from "node:crypto";
import { sha256Hex } from "../../records/canonical.ts";

/** Without letters and digits that look alike. */
const SIGNS = "23456789abcdefghjkmnpqrstuvwxyz";
const CODES = 10;

const group = (): string =>
  Array.from({ length: 4 }, () => SIGNS[randomInt(SIGNS.length)]).join("");

/** Ten codes of twelve signs each, 59 bits: a fast hash is enough to keep them. */
export const newRecoveryCodes = (): readonly string[] =>
  Array.from({ length: CODES }, () => `${group()}-${group()}-${group()}`);

/** What is kept of a code, bound to its person. */
export const hashOfRecoveryCode = (personId: string, code: string): string =>
  sha256Hex(`recovery code\n${personId}\n${code.toLowerCase()}`);
