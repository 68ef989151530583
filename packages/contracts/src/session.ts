import { z } from "zod";
import { operation } from "./operation.ts";
import { newPassword as password } from "./passwords.ts";
import {
  email,
  id,
  instant,
  line,
  nothing,
  personRef,
  phone,
  role,
  version,
} from "./primitives.ts";
import { factorCode, passkeyAnswer, secondFactor } from "./second-factors.ts";

export const practiceView = z
  .object({
    id,
    name: z.string(),
    town: z.string().nullable(),
    phone: z.string().nullable(),
    timeZone: z.string(),
    jurisdiction: z.enum(["UK", "EU", "US"]),
  })
  .meta({ id: "Practice" });

export const person = z
  .object({
    id,
    name: z.string(),
    email: z.string(),
    phone: z.string().nullable(),
    roles: z.array(role),
    registrationNumber: z.string().nullable(),
    clinicalLead: z.boolean(),
    status: z.enum(["invited", "active", "removed"]),
    version,
  })
  .meta({ id: "Person" });
export type Person = z.infer<typeof person>;

export const sessionView = z
  .object({
    person,
    practice: practiceView,
    authenticatedAt: instant,
    expiresAt: instant,
    /** The practice asks for a second factor and this person has none yet: nothing else is open. */
    mustEnrol: z.boolean(),
  })
  .meta({ id: "Session" });
export type SessionView = z.infer<typeof sessionView>;

const tokens = sessionView.extend({
  accessToken: z.string().describe("bearer token for scripts; browsers use the cookie"),
  refreshToken: z.string(),
});

export const signIn = operation({
  id: "signIn",
  method: "POST",
  path: "/session",
  tag: "session",
  access: "public",
  status: 200,
  computes: true,
  summary:
    "Sign in with e-mail and password, and a second factor where the account has one (the first try says so)",
  body: z.strictObject({
    email,
    password: z.string().min(1).max(200),
    secondFactor: secondFactor.optional(),
  }),
  response: tokens,
});
export const refreshSession = operation({
  id: "refreshSession",
  method: "POST",
  path: "/session/refresh",
  tag: "session",
  access: "public",
  status: 200,
  computes: true,
  summary: "Trade the refresh token for a new pair; a token used twice ends the session",
  body: z.strictObject({ refreshToken: z.string().min(20).max(400).optional() }),
  response: tokens,
});
export const readSession = operation({
  id: "readSession",
  method: "GET",
  path: "/session",
  tag: "session",
  access: "anyone",
  status: 200,
  whileEnrolling: true,
  summary: "Who is signed in",
  response: sessionView,
});
export const confirmPassword = operation({
  id: "confirmPassword",
  method: "POST",
  path: "/session/confirmation",
  tag: "session",
  access: "anyone",
  status: 200,
  computes: true,
  whileEnrolling: true,
  summary: "Confirm before signing: with the password, a code of the app, or a passkey",
  body: z
    .strictObject({
      password: z.string().min(1).max(200).optional(),
      code: factorCode.optional(),
      passkey: passkeyAnswer.optional(),
    })
    .refine(
      (given) => Object.values(given).filter((value) => value !== undefined).length === 1,
      "must hold a password, a code or a passkey, and only one of them",
    ),
  response: tokens,
});
export const signOut = operation({
  id: "signOut",
  method: "DELETE",
  path: "/session",
  tag: "session",
  access: "anyone",
  status: 204,
  computes: true,
  whileEnrolling: true,
  summary: "End this session",
  response: nothing,
});
export const sessionItem = z
  .object({
    id,
    userAgent: z.string().nullable(),
    createdAt: instant,
    lastUsedAt: instant,
    isThisOne: z.boolean(),
  })
  .meta({ id: "SessionItem" });
export const listSessions = operation({
  id: "listSessions",
  method: "GET",
  path: "/sessions",
  tag: "session",
  access: "anyone",
  status: 200,
  summary: "Where you are signed in",
  response: z.object({ items: z.array(sessionItem) }),
});
export const revokeSession = operation({
  id: "revokeSession",
  method: "DELETE",
  path: "/sessions/:sessionId",
  tag: "session",
  access: "anyone",
  status: 204,
  summary: "End one of your sessions",
  params: z.strictObject({ sessionId: id }),
  response: nothing,
});

export const listPeople = operation({
  id: "listPeople",
  method: "GET",
  path: "/people",
  tag: "people",
  access: ["vet", "farrier", "manager", "carer"],
  status: 200,
  summary: "People of the practice",
  query: z.strictObject({ role: role.optional() }),
  response: z.object({ items: z.array(person) }),
});
export const readPerson = operation({
  id: "readPerson",
  method: "GET",
  path: "/people/:personId",
  tag: "people",
  access: ["vet", "manager"],
  status: 200,
  summary: "One person",
  params: z.strictObject({ personId: id }),
  response: person,
});
export const changePerson = operation({
  id: "changePerson",
  method: "PATCH",
  path: "/people/:personId",
  tag: "people",
  access: ["manager"],
  status: 200,
  ifMatch: true,
  summary: "Change a person's roles, contact or standing",
  params: z.strictObject({ personId: id }),
  body: z.strictObject({
    name: line(120).optional(),
    phone: phone.nullable().optional(),
    roles: z.array(role).min(1).max(5).optional(),
    registrationNumber: line(60).nullable().optional(),
    status: z.enum(["active", "removed"]).optional(),
  }),
  response: person,
});

export const invitation = z
  .object({
    id,
    email: z.string(),
    name: z.string(),
    roles: z.array(role),
    expiresAt: instant,
    acceptedAt: instant.nullable(),
    withdrawnAt: instant.nullable(),
    invitedBy: personRef,
    version,
  })
  .meta({ id: "Invitation" });
export const listInvitations = operation({
  id: "listInvitations",
  method: "GET",
  path: "/invitations",
  tag: "people",
  access: ["manager"],
  status: 200,
  summary: "Invitations and whether they were accepted",
  response: z.object({ items: z.array(invitation) }),
});
export const invitePerson = operation({
  id: "invitePerson",
  method: "POST",
  path: "/invitations",
  tag: "people",
  access: ["manager"],
  status: 201,
  holdsSecret: true,
  summary: "Invite a person; the link works once and for seven days",
  body: z.strictObject({
    email,
    name: line(120),
    roles: z.array(role).min(1).max(5),
    registrationNumber: line(60).optional(),
    yardIds: z.array(id).max(50).default([]),
    horseIds: z.array(id).max(200).default([]),
  }),
  response: invitation.extend({ link: z.string().describe("shown once; it is not stored") }),
});
export const withdrawInvitation = operation({
  id: "withdrawInvitation",
  method: "DELETE",
  path: "/invitations/:invitationId",
  tag: "people",
  access: ["manager"],
  status: 204,
  ifMatch: true,
  summary: "Withdraw an invitation that was not accepted",
  params: z.strictObject({ invitationId: id }),
  response: nothing,
});
export const acceptInvitation = operation({
  id: "acceptInvitation",
  method: "POST",
  path: "/invitations/acceptance",
  tag: "people",
  access: "public",
  status: 201,
  computes: true,
  summary: "Accept an invitation and choose a password of at least 12 characters",
  body: z.strictObject({ token: z.string().min(20).max(200), password }),
  response: person,
});
