import { z } from "zod";
import { operation } from "./operation.ts";
import { email, id, instant, nothing } from "./primitives.ts";

/** At least 12 characters, no rules about which; source: OWASP ASVS 5.0, password security, and NIST SP 800-63B. */
export const newPassword = z.string().min(12).max(200);
const password = z.string().min(1).max(200);

export const changePassword = operation({
  id: "changePassword",
  method: "PUT",
  path: "/session/password",
  tag: "session",
  access: "anyone",
  status: 204,
  summary: "Choose another password; your other sessions end",
  body: z.strictObject({ current: password, next: newPassword }),
  response: nothing,
});
export const askForNewPassword = operation({
  id: "askForNewPassword",
  method: "POST",
  path: "/password-resets",
  tag: "session",
  access: "public",
  status: 204,
  computes: true,
  summary: "Ask for a link to a new password; the answer is the same whether the account exists",
  body: z.strictObject({ email }),
  response: nothing,
});
export const chooseNewPassword = operation({
  id: "chooseNewPassword",
  method: "POST",
  path: "/password-resets/acceptance",
  tag: "session",
  access: "public",
  status: 204,
  computes: true,
  summary: "Choose a new password by a link; it works once, and every session ends",
  body: z.strictObject({ token: z.string().min(20).max(200), password: newPassword }),
  response: nothing,
});
export const handOutNewPassword = operation({
  id: "handOutNewPassword",
  method: "POST",
  path: "/people/:personId/password-resets",
  tag: "people",
  access: ["manager"],
  status: 201,
  stepUp: true,
  holdsSecret: true,
  summary: "Make a link to a new password for a person who cannot be reached by mail",
  params: z.strictObject({ personId: id }),
  response: z.object({
    link: z.string().describe("shown once; it is not stored"),
    expiresAt: instant,
  }),
});
