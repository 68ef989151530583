import { hash } from "@node-rs/argon2";
import { badField } from "../../http/problem.ts";

/** argon2id, 19 MiB, two passes: the first recommended setting of the OWASP password storage guidance. */
const COST = { memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const;

const isRun = (pin: string): boolean => {
  const steps = pin
    .split("")
    .slice(1)
    .map((digit, index) => Number(digit) - Number(pin[index]));
  return [0, 1, -1].some((step) => steps.every((one) => one === step));
};

/**
 * The hash of a PIN. It opens nothing but a device that is trusted already, locks after five wrong
 * tries, and never signs anything; so four digits may do.
 *
 * @throws Problem for one digit repeated and for digits in a row, which anybody tries first
 */
export const hashPin = async (pin: string): Promise<string> => {
  if (isRun(pin)) throw badField("/pin", "is one that anybody would try first; choose another");
  return hash(pin, COST);
};
