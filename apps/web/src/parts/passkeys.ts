import type { SecondFactor } from "@heelward/contracts";

/** What a passkey answered, as the service reads it. */
export type PasskeyAnswer = Extract<SecondFactor, { kind: "passkey" }>["answer"];
type Options = Record<string, unknown>;

/** False where the browser has none, and on pages that came over plain http from another machine. */
export const hasPasskeys = (): boolean => typeof PublicKeyCredential === "function";

// Loaded when the first passkey is asked: most people on a yard never need it.
const library = () => import("@simplewebauthn/browser");

/** Asks the person's device for one of their passkeys. @throws Error when they turned back. */
export const askPasskey = async (options: Options): Promise<PasskeyAnswer> => {
  const { startAuthentication } = await library();
  return (await startAuthentication({ optionsJSON: options as never })) as unknown as PasskeyAnswer;
};

/** Has the device make a passkey. @throws Error when they turned back. */
export const makePasskey = async (options: Options): Promise<PasskeyAnswer> => {
  const { startRegistration } = await library();
  return (await startRegistration({ optionsJSON: options as never })) as unknown as PasskeyAnswer;
};
