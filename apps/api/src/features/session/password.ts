import { hash, verify } from "@node-rs/argon2";
import { badField } from "../../http/problem.ts";

/** argon2id, 19 MiB, two passes: the first recommended setting of the OWASP password storage guidance. */
const COST = { memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const;

/** A hash nobody's password has; verified against when the account is unknown, so that the answer takes as long. */
const NOBODY = hash("no account has this password", COST);

/** Passwords everybody tries first, longer than the twelve characters we ask for. */
const COMMON = [
  "password1234",
  "passwordpassword",
  "123456789012",
  "1234567890123",
  "qwertyuiop12",
  "qwertyuiopas",
  "letmeinletmein",
  "iloveyou1234",
  "horsehorsehorse",
  "administrator",
  "welcomewelcome",
  "111111111111",
  "000000000000",
  "abcdefghijkl",
  "password12345",
  "heelwardheelward",
];

export const hashPassword = async (password: string): Promise<string> => {
  const plain = password.normalize("NFKC");
  if (COMMON.includes(plain.toLowerCase()) || new Set(plain).size < 4)
    throw badField("/password", "is one of the first that anyone would try; choose another");
  return hash(plain, COST);
};

/** True when the password fits. `null` stands for an unknown or disabled account. */
export const isPassword = async (stored: string | null, password: string): Promise<boolean> => {
  const fits = await verify(stored ?? (await NOBODY), password.normalize("NFKC"));
  return stored !== null && fits;
};
