import { randomUUID } from "node:crypto";
import { ROLES, type Role } from "@heelward/domain/access";
import { fillTables, type Place, type Rows } from "./fill-tables.ts";
import { PASSWORD, startTestService, type TestService } from "./service.ts";

/** Which horse something is about, as seen from a person around the first horse of practice A. */
export const TARGETS = ["own", "neighbour", "elsewhere"] as const;
export type Target = (typeof TARGETS)[number];

/** Somebody who asks. */
export interface Caller {
  readonly name: string;
  readonly role: Role;
  readonly practice: "A" | "B";
  /** `around`: works with or owns the first horse of the practice. `loose`: nothing links them to any horse. */
  readonly link: "around" | "loose";
  /** What became of the person after they signed in. */
  readonly since: "nothing" | "removed" | "demoted" | "never signed in";
  readonly id: string;
  readonly token: string | null;
}

export interface AccessWorld {
  readonly service: TestService;
  readonly callers: readonly Caller[];
  readonly places: Readonly<Record<Target, Place>>;
  readonly rows: Readonly<Record<Target, Rows>>;
  /** A person of each practice who asks nothing and to whom things may be done. */
  readonly bystanders: Readonly<Record<Target, string>>;
  /** Signs everybody in again, so that nothing runs out while the requests go on. */
  readonly close: () => Promise<void>;
}

const makePerson = async (
  service: TestService,
  practiceId: string,
  role: Role,
  name: string,
): Promise<{ readonly id: string; readonly token: string }> => {
  const id = randomUUID();
  const email = `${name.toLowerCase().replaceAll(" ", ".")}@access.invalid`;
  await service.query(
    `INSERT INTO people (practice_id, id, name, email, roles, registration_number, clinical_lead, password_hash)
     SELECT $1, $2, $3, $4, $5, 'REG-1', $6, password_hash FROM people WHERE id = $7`,
    [practiceId, id, name, email, [role], role === "vet", service.vet.id],
  );
  const answer = await service.app.inject({
    method: "POST",
    url: "/api/v1/session",
    payload: { email, password: PASSWORD },
  });
  const { accessToken } = answer.json<{ accessToken: string }>();
  return { id, token: accessToken };
};

/** Two practices. A: two horses on two yards; B: one. Around the first horse of each a person of every role. */
export const startAccessWorld = async (): Promise<AccessWorld> => {
  const service = await startTestService();
  const practices = { A: service.practiceId, B: randomUUID() } as const;
  const { query } = service;
  await query(
    "INSERT INTO practices (id, name, phone, time_zone, jurisdiction) VALUES ($1, 'Other Practice', '+353 1 000 0001', 'Europe/Dublin', 'UK')",
    [practices.B],
  );
  const callers: Caller[] = [];
  const call = async (
    practice: "A" | "B",
    role: Role,
    link: Caller["link"],
    since: Caller["since"],
  ): Promise<Caller> => {
    const name = `${practice} ${role} ${link} ${since}`;
    const made = await makePerson(service, practices[practice], role, name);
    const caller = { name, role, practice, link, since, ...made };
    callers.push(caller);
    return caller;
  };

  const addPlace = async (
    practice: "A" | "B",
    name: string,
    people: Readonly<Partial<Record<Role, string>>>,
  ): Promise<Place> => {
    const practiceId = practices[practice];
    const [yardId, horseId] = [randomUUID(), randomUUID()];
    await query(
      "INSERT INTO yards (practice_id, id, name, lat, lon, time_zone) VALUES ($1, $2, $3, 53.2, -9, 'Europe/Dublin')",
      [practiceId, yardId, `Yard of ${name}`],
    );
    await query(
      "INSERT INTO horses (practice_id, id, name, type, sex, born_on, height_cm, yard_id, farrier_id, reset_interval_days) VALUES ($1, $2, $3, 'horse', 'mare', '2014-05-01', 150, $4, $5, 28)",
      [practiceId, horseId, name, yardId, people.farrier ?? null],
    );
    if (people.carer !== undefined)
      await query("INSERT INTO yard_people (practice_id, yard_id, person_id) VALUES ($1, $2, $3)", [
        practiceId,
        yardId,
        people.carer,
      ]);
    if (people.owner !== undefined)
      await query(
        "INSERT INTO horse_people (practice_id, horse_id, person_id) VALUES ($1, $2, $3)",
        [practiceId, horseId, people.owner],
      );
    return { practiceId, horseId, yardId, vetId: people.vet ?? "" };
  };

  const around: Record<"A" | "B", Partial<Record<Role, string>>> = { A: {}, B: {} };
  for (const practice of ["A", "B"] as const)
    for (const role of ROLES)
      // One after the other: each signs in.
      // oxlint-disable-next-line no-await-in-loop
      around[practice][role] = (await call(practice, role, "around", "nothing")).id;
  const farVet = await makePerson(service, practices.A, "vet", "Far vet");
  const places = {
    own: await addPlace("A", "First Horse", around.A),
    neighbour: await addPlace("A", "Second Horse", { vet: farVet.id }),
    elsewhere: await addPlace("B", "Far Horse", around.B),
  };
  for (const role of ["farrier", "carer", "owner"] as const)
    // oxlint-disable-next-line no-await-in-loop
    await call("A", role, "loose", "nothing");
  for (const role of ROLES) {
    // oxlint-disable-next-line no-await-in-loop
    const gone = await call("A", role, "around", "removed");
    // oxlint-disable-next-line no-await-in-loop
    await query("UPDATE people SET status = 'removed' WHERE id = $1", [gone.id]);
  }
  const fallen = await call("A", "vet", "loose", "demoted");
  await query("UPDATE people SET roles = '{owner}' WHERE id = $1", [fallen.id]);
  callers.push({
    name: "a stranger",
    role: "owner",
    practice: "A",
    link: "loose",
    since: "never signed in",
    id: randomUUID(),
    token: null,
  });

  const bystander = {
    A: (await makePerson(service, practices.A, "farrier", "A bystander")).id,
    B: (await makePerson(service, practices.B, "farrier", "B bystander")).id,
  };
  const filled = await fillTables(query, [places.own, places.neighbour, places.elsewhere]);
  const rowsOf = (place: Place): Rows => filled.get(place) ?? new Map<string, string>();
  return {
    service,
    callers,
    places,
    rows: {
      own: rowsOf(places.own),
      neighbour: rowsOf(places.neighbour),
      elsewhere: rowsOf(places.elsewhere),
    },
    bystanders: { own: bystander.A, neighbour: bystander.A, elsewhere: bystander.B },
    close: service.close,
  };
};

/** The role a person has now: whoever was demoted asks with the token of before. */
export const roleNow = (caller: Caller): Role =>
  caller.since === "demoted" ? "owner" : caller.role;

/**
 * Whether a person may see a horse. Written down from what the practice decided, not from the code:
 * vet and manager see every horse of their practice, a farrier the horses on the own list, a yard
 * carer those of the own yard, an owner the own.
 */
export const seesHorse = (caller: Caller, target: Target): boolean => {
  if ((target === "elsewhere") !== (caller.practice === "B")) return false;
  const role = roleNow(caller);
  if (role === "vet" || role === "manager") return true;
  return caller.link === "around" && target !== "neighbour";
};
