import { hash, verify } from "@node-rs/argon2";
import { badField } from "../../http/problem.ts";
import { isBreached } from "./breached-passwords.ts";

/** argon2id, 19 MiB, two passes: the first recommended setting of the OWASP password storage guidance. */
const COST = { memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const;

/** A hash nobody's password has; verified against when the account is unknown, so that the answer takes as long. */
const NOBODY = hash("no account has this password", COST);

/** Fewer different characters than this is a key held down. */
const LEAST_DIFFERENT = 5;

/** Words an attacker of this very service tries first. Source: ASVS 5.0, context-specific words. */
const OF_THIS_PLACE = /^(?:heelward|laminitis|farrier|practice|horses?|[\d\W_])+$/iu;

const unfit = (plain: string): string | undefined => {
  if (new Set(plain).size < LEAST_DIFFERENT) return "repeats a few characters; choose another";
  if (OF_THIS_PLACE.test(plain)) return "is one that anyone would try here; choose another";
  if (isBreached(plain)) return "is known from stolen lists; choose another";
  return undefined;
};

/**
 * @param pointer the field it came in, for the refusal.
 * @throws Problem for a password that is on the list of stolen ones or that anyone would try.
 */
export const hashPassword = async (password: string, pointer = "/password"): Promise<string> => {
  const plain = password.normalize("NFKC");
  const why = unfit(plain);
  if (why !== undefined) throw badField(pointer, why);
  return hash(plain, COST);
};

/** True when the password fits. `null` stands for an unknown or disabled account. */
export const isPassword = async (stored: string | null, password: string): Promise<boolean> => {
  const fits = await verify(stored ?? (await NOBODY), password.normalize("NFKC"));
  return stored !== null && fits;
};
