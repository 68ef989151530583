import { randomUUID } from "node:crypto";
import {
  addHorse,
  addYard,
  changePerson,
  invitePerson,
  recordPassport,
  setYardPeople,
} from "@heelward/contracts";
import type { Role } from "@heelward/domain/access";
import type { InstantMs } from "@heelward/domain/time";
import pg from "pg";
import type { Dependencies } from "../app.ts";
import * as horses from "../features/horses/service.ts";
import * as people from "../features/people/service.ts";
import { hashPassword } from "../features/session/password.ts";
import * as yards from "../features/yards/service.ts";
import type { Actor } from "../http/actor.ts";
import { ZONE } from "./calendar.ts";
import { HORSES, type DemoHorse } from "./data/horses.ts";
import { OWNERS, PEOPLE, PRACTICE, YARDS } from "./data/practice.ts";
import { iso, known, type Register, type Telling } from "./story.ts";

/** Printed at the start for everybody who tries the demo; never for real data. */
export const DEMO_PASSWORD = "wrackline demo 2026";

const PRACTICE_PHONE = "+353 00 000 0100";

/** `Bríd Fennimarsh` becomes `brid.fennimarsh@wrackline.invalid`; .invalid never leads anywhere (RFC 2606). */
export const emailOf = (name: string): string =>
  `${name
    .normalize("NFD")
    .replaceAll(/\p{Diacritic}/gu, "")
    .toLowerCase()
    .replaceAll(" ", ".")}@wrackline.invalid`;

// The practice's nurse and front desk book, chase and confirm film sides; they have the manager's rights.
const roleOf = (words: string): Role => {
  if (words.startsWith("vet,") || words === "vet") return "vet";
  if (words.startsWith("farrier")) return "farrier";
  return words === "yard carer" ? "carer" : "manager";
};

interface Someone {
  readonly id: string;
  readonly name: string;
  readonly role: Role;
  readonly registrationNumber: string | null;
  readonly phone: string;
  readonly yardIds: readonly string[];
}

const cast = (): readonly Someone[] => [
  ...PEOPLE.map((person, index): Someone => {
    const role = roleOf(person.role);
    return {
      id: person.id,
      name: person.name,
      role,
      registrationNumber:
        role === "vet" || role === "farrier"
          ? `DEMO-${role === "vet" ? "V" : "F"}-${person.id}`
          : null,
      phone: `+353 00 000 01${String(10 + index)}`,
      yardIds: person.yard === undefined ? [...(person.covers ?? [])] : [person.yard],
    };
  }),
  ...OWNERS.map((owner, index): Someone => ({
    id: owner.id,
    name: owner.name,
    role: "owner",
    registrationNumber: null,
    phone: `+353 00 000 02${String(10 + index)}`,
    yardIds: [],
  })),
];

/** Who is there before anybody can be invited: the clinical lead and the practice manager. */
const FOUNDERS = ["V1", "M1"] as const;

const actorOf = (
  practiceId: string,
  personId: string,
  someone: Pick<Someone, "id" | "name" | "role" | "registrationNumber">,
): Actor => ({
  practiceId,
  personId,
  name: someone.name,
  roles: [someone.role],
  registrationNumber: someone.registrationNumber,
  clinicalLead: someone.id === "V1",
  sessionId: randomUUID(),
  authenticatedAtMs: 0,
});

/** What has no operation: the practice itself and its first two people. */
export const foundPractice = async (
  ownerUrl: string,
  atMs: InstantMs,
  actors: Map<string, Actor>,
  register: Register,
): Promise<string> => {
  const practiceId = randomUUID();
  const passwordHash = await hashPassword(DEMO_PASSWORD);
  const client = new pg.Client({ connectionString: ownerUrl });
  await client.connect();
  try {
    await client.query(
      "INSERT INTO practices (id, name, town, phone, time_zone, jurisdiction, lat, lon, created_at) VALUES ($1, $2, $3, $4, $5, 'EU', $6, $7, $8)",
      [
        practiceId,
        PRACTICE.name,
        PRACTICE.town,
        PRACTICE_PHONE,
        ZONE,
        PRACTICE.lat,
        PRACTICE.lon,
        iso(atMs),
      ],
    );
    for (const founder of cast().filter((one) => FOUNDERS.some((id) => id === one.id))) {
      const personId = randomUUID();
      // Two rows, one after the other.
      // oxlint-disable-next-line no-await-in-loop
      await client.query(
        "INSERT INTO people (practice_id, id, name, email, phone, roles, registration_number, clinical_lead, password_hash, created_at) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)",
        [
          practiceId,
          personId,
          founder.name,
          emailOf(founder.name),
          founder.phone,
          [founder.role],
          founder.registrationNumber,
          founder.id === "V1",
          passwordHash,
          iso(atMs),
        ],
      );
      actors.set(founder.id, actorOf(practiceId, personId, founder));
      register.people.set(founder.id, personId);
    }
  } finally {
    await client.end();
  }
  return practiceId;
};

/** Everybody else comes by invitation, once the yards are there. */
export const tellOfPeople = (
  telling: Telling,
  dependencies: Dependencies,
  practiceId: string,
  actors: Map<string, Actor>,
): void => {
  const { calendar, perform, register, tell } = telling;
  const opening = calendar.at("2025-10-13", "09:00");
  for (const yard of YARDS)
    tell(opening, `yard ${yard.id}`, async () => {
      const added = await perform(
        opening,
        "M1",
        addYard,
        {
          body: {
            name: yard.name,
            lat: yard.lat,
            lon: yard.lon,
            timeZone: ZONE,
            surface: yard.surface,
            signal: yard.signal,
            weighing: yard.weighing,
          },
        },
        (work, { body }) => yards.add(work, body),
      );
      register.yards.set(yard.id, added.id);
    });
  const inviting = calendar.at("2025-10-13", "10:00");
  for (const someone of cast().filter((one) => !FOUNDERS.some((id) => id === one.id)))
    tell(inviting, `invitation of ${someone.id}`, async () => {
      const invited = await perform(
        inviting,
        "M1",
        invitePerson,
        {
          body: {
            email: emailOf(someone.name),
            name: someone.name,
            roles: [someone.role],
            ...(someone.registrationNumber === null
              ? {}
              : { registrationNumber: someone.registrationNumber }),
            yardIds: someone.yardIds.map((yard) => known(register.yards, yard)),
          },
        },
        (work, { body }) => people.invite(work, body),
      );
      const token = invited.link.split("/").at(-1) ?? "";
      const person = await people.accept(dependencies, token, DEMO_PASSWORD, {
        nowMs: inviting,
        requestId: randomUUID(),
      });
      actors.set(someone.id, actorOf(practiceId, person.id, someone));
      register.people.set(someone.id, person.id);
      await perform(
        inviting,
        "M1",
        changePerson,
        { params: { personId: person.id }, body: { phone: someone.phone } },
        (work, { params, body }) => people.change(work, params.personId, person.version, body),
      );
    });
};

/** The farriers who cover a yard beside its carer. */
export const tellOfCover = ({ calendar, perform, register, tell }: Telling): void => {
  const atMs = calendar.at("2025-10-13", "11:00");
  for (const yard of YARDS)
    tell(atMs, `people of ${yard.id}`, async () => {
      const personIds = PEOPLE.filter(
        (person) => person.yard === yard.id || (person.covers ?? []).includes(yard.id),
      ).map((person) => known(register.people, person.id));
      await perform(
        atMs,
        "M1",
        setYardPeople,
        { params: { yardId: known(register.yards, yard.id) }, body: { personIds } },
        (work, { params, body }) => yards.setPeople(work, params.yardId, 1, body.personIds),
      );
    });
};

/** Small breeds are dosed as ponies; taller natives were tagged as horses by their vet. */
const PONY_BELOW_CM = 130;

/** The interval before the bout that made it shorter, where today's is not the old one. */
export const FIRST_INTERVAL_DAYS: Readonly<Record<string, number>> = {
  H01: 42,
  H02: 35,
  H13: 42,
  H14: 42,
  H19: 35,
};

const conditionsOf = ({ cause }: DemoHorse): string[] => [
  ...(cause.includes("PPID") ? ["PPID"] : []),
  ...(cause.includes("insulin") ? ["insulin dysregulation"] : []),
];

/** The horses, and the passports that a vet has had in hand. */
export const tellOfHorses = ({ calendar, perform, register, tell }: Telling): void => {
  const adding = calendar.at("2025-10-13", "14:00");
  const reading = calendar.at("2025-10-14", "10:00");
  for (const horse of HORSES) {
    tell(adding, `horse ${horse.id}`, async () => {
      const owner = OWNERS.find((one) => one.horses.includes(horse.id));
      if (owner === undefined) throw new Error(`nobody owns ${horse.id}`);
      const added = await perform(
        adding,
        "M1",
        addHorse,
        {
          body: {
            name: horse.name,
            type: horse.height_cm < PONY_BELOW_CM ? "pony" : "horse",
            sex: horse.sex === "mare" ? "mare" : "gelding",
            yardId: known(register.yards, horse.yard),
            breed: horse.breed,
            bornOn: calendar.on(`${String(horse.born)}-05-01`),
            heightCm: horse.height_cm,
            farrierId: known(register.people, horse.farrier),
            pregnant: horse.id === "H14",
            conditions: conditionsOf(horse),
            feet: horse.feet,
            resetIntervalDays: FIRST_INTERVAL_DAYS[horse.id] ?? horse.interval_days,
            breakoverLimitMm: horse.limit_mm,
            growthMmPer30d: horse.growth_mm_30d,
            wearFraction: horse.wear_fraction,
            wallAngleDegrees: horse.wall_deg,
            ownerIds: [known(register.people, owner.id)],
          },
        },
        (work, { body }) => horses.add(work, body),
      );
      register.horses.set(horse.id, added.id);
    });
    if (horse.food_chain !== "passport not seen")
      tell(reading, `passport of ${horse.id}`, async () => {
        await perform(
          reading,
          "V2",
          recordPassport,
          {
            params: { horseId: known(register.horses, horse.id) },
            body: {
              foodChain: horse.food_chain === "excluded" ? "excluded" : "not excluded",
              seenOn: calendar.on("2025-10-14"),
            },
          },
          (work, { params, body }) => horses.recordPassport(work, params.horseId, 1, body),
        );
      });
  }
};
