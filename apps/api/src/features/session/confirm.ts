import type { confirmPassword, startConfirmation } from "@heelward/contracts";
import type { z } from "zod";
import { Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import type { Sealer } from "../../mail/sealer.ts";
import { countFailure, forgetFailures, isLocked } from "./attempts.ts";
import { isPassword } from "./password.ts";
import type { Site } from "./passkeys.ts";
import { askForFactor, checkFactor } from "./second-factor.ts";

type Given = z.output<NonNullable<typeof confirmPassword.body>>;

/** A wrong password, code or passkey: counted even though the request is refused. */
const refuse = (work: Work): Problem => {
  work.keepRefusal(async ({ tx, actor, nowMs, requestId, clientTime, audit }) => {
    await countFailure(tx, actor.personId, {
      practiceId: actor.practiceId,
      actorId: actor.personId,
      actorRoles: actor.roles,
      requestId,
      clientTime,
      atMs: nowMs,
    });
    audit({
      event: "confirmation.failed",
      subjectType: "session",
      subjectId: actor.sessionId,
      horseId: null,
      payload: null,
    });
  });
  return new Problem(
    "wrong-credentials",
    "That does not fit, or the account is locked for a while.",
  );
};

const readOwn = ({ tx, actor }: Work) =>
  tx.person.findUniqueOrThrow({
    where: { practiceId_id: { practiceId: actor.practiceId, id: actor.personId } },
  });

/** @throws Problem `wrong-credentials` when it is not the caller's password, or the account is locked. */
export const checkOwnPassword = async (work: Work, password: string): Promise<void> => {
  const person = await readOwn(work);
  const stored = isLocked(person, work.nowMs) ? null : person.passwordHash;
  if (!(await isPassword(stored, password))) throw refuse(work);
  await forgetFailures(work.tx, person.id);
};

/** With what the caller can confirm, and what their passkeys are to sign. */
export const ways = async (
  { tx, actor, nowMs }: Work,
  site: Site,
): Promise<z.input<typeof startConfirmation.response>> => {
  const asked = await askForFactor(tx, { ...actor, nowMs, site }, "confirmation");
  return { ways: ["password", ...asked.ways], passkeyOptions: asked.passkeyOptions };
};

/** @throws Problem `wrong-credentials` unless the password, code or passkey is the caller's. */
export const checkIsCaller = async (
  work: Work,
  given: Given,
  site: Site,
  sealer: () => Sealer,
): Promise<void> => {
  if (given.password !== undefined) return checkOwnPassword(work, given.password);
  const { tx, actor, nowMs } = work;
  if (isLocked(await readOwn(work), nowMs)) throw refuse(work);
  const presented =
    given.code !== undefined
      ? ({ kind: "code", code: given.code } as const)
      : given.passkey !== undefined
        ? ({ kind: "passkey", answer: given.passkey } as const)
        : undefined;
  const fits =
    presented === undefined
      ? null
      : await checkFactor(
          tx,
          { ...actor, nowMs, site, sealer: sealer() },
          presented,
          "confirmation",
        );
  if (fits === null) throw refuse(work);
  await forgetFailures(tx, actor.personId);
  return undefined;
};
