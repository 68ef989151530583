import type { erasePerson } from "@heelward/contracts";
import { nameMayGoOn, RETENTION_SETTINGS } from "@heelward/domain/retention";
import { dayText, localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import { notFound, Problem } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { ownSettings } from "../settings/values.ts";
import { readPractice } from "./practice.ts";
import * as store from "./store.ts";
import { viewPerson } from "./view.ts";

type Erasure = z.input<typeof erasePerson.response>;

const NOBODY = "erased.invalid";

/**
 * Takes a person's own data out of the record. The clinical record stays whole: it speaks of the same
 * person under another name, and whoever signed or carried something out stays named until the
 * retention term is over, because a signature without a signer proves nothing.
 */
export const erase = async (
  work: Work,
  id: string,
  seen: number,
  reason: string,
): Promise<Erasure> => {
  const { tx, actor, nowMs } = work;
  const version = await store.lockPerson(tx, id);
  if (version === null) throw notFound("person");
  assertVersion(seen, version);
  if (id === actor.personId)
    throw new Problem("conflict", "Nobody erases their own data; ask another practice manager.");
  const person = await tx.person.findUniqueOrThrow({
    where: { practiceId_id: { practiceId: actor.practiceId, id } },
  });
  const openCases = await store.countOpenCasesOfOwner(tx, id);
  if (openCases > 0)
    throw new Problem(
      "conflict",
      "A horse of this person is in treatment: the vet must be able to reach the owner. Close the case first, or hand the horse to another owner.",
      { recordId: id },
    );

  const { timeZone } = await readPractice(work);
  const today = localDateOf(nowMs, timeZone);
  const settings = await ownSettings(work, RETENTION_SETTINGS, today);
  const lastAt = await store.lastRecordBy(tx, id);
  const mayGoOn =
    lastAt === null
      ? null
      : nameMayGoOn(localDateOf(lastAt.getTime(), timeZone), {
          clinicalNameYears: settings.clinicalNameYears.value,
          medicineRecordYears: settings.medicineRecordYears.value,
        });
  const staysNamed = mayGoOn !== null && mayGoOn > today;
  const name = staysNamed ? person.name : `Erased person ${id.slice(0, 8)}`;

  const calls = await store.eraseCaller(tx, { personId: id, name: person.name, as: name });
  await store.eraseTraces(tx, { personId: id, email: person.email, at: new Date(nowMs) });
  await tx.person.updateMany({
    where: { id },
    data: {
      name,
      email: `${id}@${NOBODY}`,
      phone: null,
      registrationNumber: staysNamed ? person.registrationNumber : null,
      passwordHash: null,
      status: "removed",
      clinicalLead: false,
      preferences: {},
      version: seen + 1,
    },
  });
  // Says that it was done and why, and nothing of what was erased.
  work.audit({
    event: "person.erased",
    subjectType: "person",
    subjectId: id,
    horseId: null,
    payload: { reason, staysNamedUntil: staysNamed ? mayGoOn : null },
  });
  const row = await tx.person.findUniqueOrThrow({
    where: { practiceId_id: { practiceId: actor.practiceId, id } },
  });
  return {
    person: viewPerson(row),
    erased: [
      ...(staysNamed ? [] : ["the name, wherever a page shows it"]),
      "e-mail address, phone number, password and own settings",
      "every session, calendar link and way to sign in",
      "letters to this person, sent or waiting",
      ...(calls > 0 ? [`name and number as caller in ${calls} phone calls`] : []),
    ],
    kept: [
      ...(staysNamed
        ? [
            {
              what: "name and registration number beside what this person signed or recorded",
              why: `record-keeping law and claims; may go on ${dayText(mayGoOn)}`,
            },
          ]
        : []),
      {
        what: "signed documents, word for word",
        why: "a signature holds for exactly these words; changing one would undo it",
      },
      {
        what: "the log of changes",
        why: "it proves that nothing was edited in silence; its entries are chained and cannot be altered one by one",
      },
      {
        what: "the horse's clinical record",
        why: "the next vet must know what was found and given",
      },
    ],
  };
};
