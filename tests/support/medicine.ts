import { randomUUID } from "node:crypto";
import request from "supertest";
import { PASSWORD, type TestPerson, type TestService } from "./service.ts";

const PREFIX = "/api/v1";

/** The same person with a fresh sign-in: access tokens and the right to sign last minutes only. */
export const signInAgain = async (
  service: TestService,
  person: TestPerson,
): Promise<TestPerson> => {
  const answer = await request(service.app.server)
    .post(`${PREFIX}/session`)
    .send({ email: person.email, password: PASSWORD });
  const { accessToken: token } = answer.body as { accessToken: string };
  return {
    ...person,
    token,
    get: (path) =>
      request(service.app.server)
        .get(PREFIX + path)
        .auth(token, { type: "bearer" }),
    send: (method, path, body, version) => {
      const call = request(service.app.server)
        [method](PREFIX + path)
        .auth(token, { type: "bearer" })
        .set("idempotency-key", randomUUID());
      if (version !== undefined) void call.set("if-match", `"${version}"`);
      return body === undefined ? call : call.send(body as object);
    },
  };
};

export interface Team {
  readonly vet: TestPerson;
  readonly carer: TestPerson;
  readonly manager: TestPerson;
}

/** Moves the clock forward to an instant and signs vet, carer and manager in again. */
export const atTime = async (service: TestService, instant: string): Promise<Team> => {
  service.advance(Date.parse(instant) - service.now());
  return {
    vet: await signInAgain(service, service.vet),
    carer: await signInAgain(service, service.carer),
    manager: await signInAgain(service, service.manager),
  };
};

export interface Animal {
  readonly name: string;
  readonly type?: "horse" | "pony" | "donkey";
  readonly heightCm?: number;
  readonly bornOn?: string;
  readonly foodChain?: "excluded" | "not excluded" | "passport not seen";
}

/** Another animal at the test yard. */
export const addAnimal = async (service: TestService, animal: Animal): Promise<string> => {
  const id = randomUUID();
  await service.query(
    `INSERT INTO horses (practice_id, id, name, type, sex, born_on, height_cm, yard_id, farrier_id, reset_interval_days, food_chain)
     VALUES ($1, $2, $3, $4, 'gelding', $5, $6, $7, $8, 28, $9)`,
    [
      service.practiceId,
      id,
      animal.name,
      animal.type ?? "horse",
      animal.bornOn ?? "2016-05-01",
      animal.heightCm ?? 160,
      service.yardId,
      service.farrier.id,
      animal.foodChain ?? "excluded",
    ],
  );
  return id;
};

/** An earlier weighing, put behind the service. */
export const weighedBefore = async (
  service: TestService,
  horseId: string,
  weightKg: number,
  instant: string,
): Promise<void> => {
  await service.query(
    `INSERT INTO weighings (practice_id, id, horse_id, weighed_at, weight_kg, low_kg, high_kg, method, weighed_by)
     VALUES ($1, $2, $3, $4, $5::float8, $5::float8 * 0.99, $5::float8 * 1.01, 'scale', $6)`,
    [service.practiceId, randomUUID(), horseId, instant, weightKg, service.vet.id],
  );
};

export interface Step {
  readonly doseMg: number;
  readonly timesLocal: readonly string[];
  readonly fromDay?: number;
  readonly toDay?: number;
  readonly everyDays?: number;
}

/** The body of a course as a vet asks for it. */
export const courseOf = (
  drugKey: string,
  presentationKey: string,
  startOn: string,
  steps: readonly Step[],
  more: object = {},
) => ({
  drugKey,
  presentationKey,
  route: "oral",
  startOn,
  steps: steps.map((step) => ({ fromDay: 1, toDay: 1, everyDays: 1, ...step })),
  ...more,
});

export const BUTE_SACHETS = ["phenylbutazone", "phenylbutazone-powder-1g"] as const;
export const BUTE_PASTE = ["phenylbutazone", "phenylbutazone-paste-200mg-ml"] as const;

/** Drafts and signs a course that the rules allow. */
export const signedCourse = async (vet: TestPerson, horseId: string, body: object) => {
  const drafted = await vet.send("post", `/horses/${horseId}/courses`, body);
  if (drafted.status !== 201) throw new Error(`not drafted: ${drafted.text}`);
  const signed = await vet.send(
    "post",
    `/courses/${drafted.body.id}/signature`,
    { overrides: [] },
    drafted.body.version,
  );
  if (signed.status !== 200) throw new Error(`not signed: ${signed.text}`);
  return signed.body;
};
