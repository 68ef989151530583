import { z } from "zod";
import { operation } from "./operation.ts";
import { id, instant, line, nothing } from "./primitives.ts";

/** Six digits from an app, or one of the codes kept on paper, such as `7k2m-9qxd-4htw`. */
export const factorCode = z
  .string()
  .trim()
  .toLowerCase()
  .regex(/^(\d{6}|[a-z0-9]{4}(-[a-z0-9]{4}){2})$/u, "must be six digits or a recovery code");

/** What a browser hands over after asking a passkey (WebAuthn level 3, `toJSON` of the credential). */
export const passkeyAnswer = z
  .object({
    id: z.string().min(1).max(2000),
    rawId: z.string().min(1).max(2000),
    type: z.literal("public-key"),
    response: z.record(z.string().max(60), z.unknown()),
    clientExtensionResults: z.record(z.string().max(60), z.unknown()),
    authenticatorAttachment: z.string().max(40).nullish(),
  })
  .refine((value) => JSON.stringify(value).length < 40_000, "is too long for a passkey");

/** What the browser asks the passkey with (WebAuthn level 3, options as JSON). */
const passkeyOptions = z.record(z.string(), z.unknown());

/** A second factor shown at sign-in: a code, or a passkey's answer. */
export const secondFactor = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("code"), code: factorCode }),
  z.strictObject({ kind: z.literal("passkey"), answer: passkeyAnswer }),
]);
export type SecondFactor = z.infer<typeof secondFactor>;

export const factorView = z
  .object({
    id,
    kind: z.enum(["app code", "passkey"]),
    name: z.string(),
    addedAt: instant,
    lastUsedAt: instant.nullable(),
  })
  .meta({ id: "SecondFactor" });

export const factorsView = z
  .object({
    items: z.array(factorView),
    recoveryCodesLeft: z.int(),
    /** The practice asks for one and the person's role is one it asks. */
    isRequired: z.boolean(),
    /** The practice asks its vets and managers for one. */
    isPracticeRule: z.boolean(),
  })
  .meta({ id: "SecondFactors" });

/** Shown once; only their hashes are kept. */
const recoveryCodes = z.array(z.string()).describe("shown once; each works once");
const added = z.object({ factor: factorView, recoveryCodes: recoveryCodes.nullable() });

export const listFactors = operation({
  id: "listFactors",
  method: "GET",
  path: "/second-factors",
  tag: "session",
  access: "anyone",
  status: 200,
  whileEnrolling: true,
  summary: "Your second factors",
  response: factorsView,
});
export const startAppCode = operation({
  id: "startAppCode",
  method: "POST",
  path: "/second-factors/app-codes",
  tag: "session",
  access: "anyone",
  status: 201,
  stepUp: true,
  holdsSecret: true,
  whileEnrolling: true,
  summary: "Get a key for an authenticator app (RFC 6238); it counts once a code was confirmed",
  body: z.strictObject({ name: line(60) }),
  response: z.object({
    id,
    key: z.string().describe("base32, to be typed in"),
    address: z.string().describe("otpauth address, to be scanned"),
    picture: z
      .string()
      .describe("the address as a QR code, SVG path of a square of `size` modules"),
    size: z.int(),
  }),
});
export const confirmAppCode = operation({
  id: "confirmAppCode",
  method: "POST",
  path: "/second-factors/:factorId/confirmation",
  tag: "session",
  access: "anyone",
  status: 200,
  holdsSecret: true,
  whileEnrolling: true,
  summary: "Confirm the app with its first code",
  params: z.strictObject({ factorId: id }),
  body: z.strictObject({ code: z.string().regex(/^\d{6}$/u, "must be six digits") }),
  response: added,
});
export const startPasskey = operation({
  id: "startPasskey",
  method: "POST",
  path: "/second-factors/passkey-options",
  tag: "session",
  access: "anyone",
  status: 200,
  computes: true,
  stepUp: true,
  whileEnrolling: true,
  summary: "What the browser needs to make a passkey",
  response: z.object({ options: passkeyOptions }),
});
export const addPasskey = operation({
  id: "addPasskey",
  method: "POST",
  path: "/second-factors/passkeys",
  tag: "session",
  access: "anyone",
  status: 201,
  holdsSecret: true,
  whileEnrolling: true,
  summary: "Keep a passkey's public key",
  body: z.strictObject({ name: line(60), answer: passkeyAnswer }),
  response: added,
});
export const removeFactor = operation({
  id: "removeFactor",
  method: "DELETE",
  path: "/second-factors/:factorId",
  tag: "session",
  access: "anyone",
  status: 204,
  stepUp: true,
  summary: "Remove one of your second factors",
  params: z.strictObject({ factorId: id }),
  response: nothing,
});
export const renewRecoveryCodes = operation({
  id: "renewRecoveryCodes",
  method: "POST",
  path: "/second-factors/recovery-codes",
  tag: "session",
  access: "anyone",
  status: 201,
  stepUp: true,
  holdsSecret: true,
  summary: "Get new recovery codes; the old ones stop working",
  response: z.object({ recoveryCodes }),
});
export const startConfirmation = operation({
  id: "startConfirmation",
  method: "POST",
  path: "/session/confirmation-options",
  tag: "session",
  access: "anyone",
  status: 200,
  computes: true,
  whileEnrolling: true,
  summary: "With what you can confirm before signing; options for a passkey if you have one",
  response: z.object({
    ways: z.array(z.enum(["password", "app code", "passkey"])),
    passkeyOptions: passkeyOptions.nullable(),
  }),
});
export const changeSignInPolicy = operation({
  id: "changeSignInPolicy",
  method: "PUT",
  path: "/sign-in-policy",
  tag: "people",
  access: ["manager"],
  status: 200,
  stepUp: true,
  summary: "Ask every vet and manager of the practice for a second factor, or stop asking",
  body: z.strictObject({ isSecondFactorRequired: z.boolean() }),
  response: z.object({ isSecondFactorRequired: z.boolean() }),
});
export const clearFactors = operation({
  id: "clearFactors",
  method: "DELETE",
  path: "/people/:personId/second-factors",
  tag: "people",
  access: ["manager"],
  status: 204,
  stepUp: true,
  summary: "Remove a person's second factors after a lost phone; their sessions end",
  params: z.strictObject({ personId: id }),
  response: nothing,
});
