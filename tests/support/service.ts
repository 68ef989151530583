import { randomUUID } from "node:crypto";
import { generateKeyPairSync } from "node:crypto";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Role } from "@heelward/domain/access";
import type { FastifyInstance } from "fastify";
import pg from "pg";
import request, { type Test } from "supertest";
import { buildApp } from "../../apps/api/src/app.ts";
import { folderBlobStore } from "../../apps/api/src/blobs/blob-store.ts";
import { connect } from "../../apps/api/src/database/client.ts";
import { hashPassword } from "../../apps/api/src/features/session/password.ts";
import type { DriveTimesProvider } from "../../apps/api/src/features/routes/drive-times.ts";
import type { MailRoom } from "../../apps/api/src/mail/outbox.ts";
import { createSealer } from "../../apps/api/src/mail/sealer.ts";
import { createSigner } from "../../apps/api/src/records/signer.ts";
import { createTestDatabase } from "./database.ts";

/** The instant at which every test starts: a Wednesday morning in October, summer time in Dublin. */
export const WEDNESDAY_0710 = Date.parse("2026-10-14T07:10:00+01:00");
/** What test services seal and link letters with. */
export const TEST_MAIL: MailRoom = {
  sealer: createSealer("00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff"),
  publicUrl: "http://heelward.invalid",
};
export const PASSWORD = "a long pass phrase for tests";

/** A person who is signed in, with the calls they make. */
export interface TestPerson {
  readonly id: string;
  readonly role: Role;
  readonly email: string;
  readonly token: string;
  readonly get: (path: string) => Test;
  /** A write with a fresh Idempotency-Key; `version` becomes If-Match. */
  readonly send: (
    method: "post" | "put" | "patch" | "delete",
    path: string,
    body?: unknown,
    version?: number,
  ) => Test;
}

export interface TestService {
  readonly app: FastifyInstance;
  readonly ownerUrl: string;
  /** Connection URL of the role the service works under. */
  readonly appUrl: string;
  readonly practiceId: string;
  /** Where films, photos and papers lie. */
  readonly blobFolder: string;
  readonly yardId: string;
  readonly horseId: string;
  readonly vet: TestPerson;
  readonly farrier: TestPerson;
  readonly manager: TestPerson;
  readonly carer: TestPerson;
  readonly owner: TestPerson;
  /** Moves the service's clock forward. */
  readonly advance: (ms: number) => void;
  readonly now: () => number;
  /** Looks behind the service, as superuser. */
  readonly query: (sql: string, values?: unknown[]) => Promise<Record<string, unknown>[]>;
  readonly personWith: (role: Role, name: string) => Promise<TestPerson>;
  readonly close: () => Promise<void>;
}

const PREFIX = "/api/v1";
let passwordHash: Promise<string> | undefined;

export interface TestServiceOptions {
  /** Folder of the built dashboard, for browser tests. */
  readonly webDist?: string;
  /** The machine's clock instead of the fixed one: a browser has its own and the two must agree. */
  readonly usesRealClock?: boolean;
  /** Drive times from elsewhere than the estimate. */
  readonly roads?: DriveTimesProvider;
}

/** A whole service on a database of its own: one practice, one yard, one horse, one person of each role. */
export const startTestService = async (options: TestServiceOptions = {}): Promise<TestService> => {
  const database = await createTestDatabase();
  const blobs = mkdtempSync(join(tmpdir(), "heelward-blobs-"));
  const { privateKey, publicKey } = generateKeyPairSync("ed25519", {
    privateKeyEncoding: { type: "pkcs8", format: "pem" },
    publicKeyEncoding: { type: "spki", format: "pem" },
  });
  let nowMs = options.usesRealClock === true ? 0 : WEDNESDAY_0710;
  const now = () => (options.usesRealClock === true ? Date.now() + nowMs : nowMs);
  const db = connect(database.appUrl, 5);
  const app = await buildApp({
    db,
    listenUrl: database.appUrl,
    blobs: folderBlobStore(blobs),
    signer: createSigner("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60"),
    secrets: { tokenPrivateKeyPem: privateKey, tokenPublicKeyPem: publicKey },
    now,
    mail: TEST_MAIL,
    ...(options.roads === undefined ? {} : { roads: options.roads }),
    requestsPerMinute: 1_000_000,
    signInsPerMinute: 1_000_000,
    ...(options.webDist === undefined ? {} : { webDist: options.webDist }),
  });
  await app.ready();
  const admin = new pg.Pool({ connectionString: database.ownerUrl, max: 2 });
  // Dropping the database ends idle connections of this pool; without a listener that would end the run.
  admin.on("error", () => undefined);
  const query = async (sql: string, values: unknown[] = []) =>
    (await admin.query<Record<string, unknown>>(sql, values)).rows;

  const practiceId = randomUUID();
  const yardId = randomUUID();
  const horseId = randomUUID();
  await query(
    "INSERT INTO practices (id, name, phone, time_zone, jurisdiction) VALUES ($1, 'Test Practice', '+353 1 000 0000', 'Europe/Dublin', 'UK')",
    [practiceId],
  );
  await query(
    "INSERT INTO yards (practice_id, id, name, lat, lon, time_zone) VALUES ($1, $2, 'Test Yard', 53.2, -9, 'Europe/Dublin')",
    [practiceId, yardId],
  );

  const personWith = async (role: Role, name: string): Promise<TestPerson> => {
    const id = randomUUID();
    const email = `${name.toLowerCase().replaceAll(" ", ".")}@test.invalid`;
    passwordHash ??= hashPassword(PASSWORD);
    await query(
      "INSERT INTO people (practice_id, id, name, email, roles, registration_number, clinical_lead, password_hash) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)",
      [
        practiceId,
        id,
        name,
        email,
        [role],
        role === "vet" || role === "farrier" ? `REG-${name.length}` : null,
        role === "vet",
        await passwordHash,
      ],
    );
    const signedIn = await request(app.server)
      .post(`${PREFIX}/session`)
      .send({ email, password: PASSWORD });
    if (signedIn.status !== 200) throw new Error(`could not sign in: ${signedIn.text}`);
    const { accessToken: token } = signedIn.body as { accessToken: string };
    return {
      id,
      role,
      email,
      token,
      get: (path) =>
        request(app.server)
          .get(PREFIX + path)
          .auth(token, { type: "bearer" }),
      send: (method, path, body, version) => {
        const call = request(app.server)
          [method](PREFIX + path)
          .auth(token, { type: "bearer" })
          .set("idempotency-key", randomUUID());
        if (version !== undefined) void call.set("if-match", `"${version}"`);
        return body === undefined ? call : call.send(body as object);
      },
    };
  };
  const [vet, farrier, manager, carer, owner] = [
    await personWith("vet", "Vera Vet"),
    await personWith("farrier", "Fintan Farrier"),
    await personWith("manager", "Mona Manager"),
    await personWith("carer", "Cass Carer"),
    await personWith("owner", "Odo Owner"),
  ];
  await query("INSERT INTO yard_people (practice_id, yard_id, person_id) VALUES ($1, $2, $3)", [
    practiceId,
    yardId,
    carer.id,
  ]);
  await query(
    "INSERT INTO horses (practice_id, id, name, type, sex, born_on, height_cm, yard_id, farrier_id, reset_interval_days) VALUES ($1, $2, 'Test Horse', 'horse', 'mare', '2014-05-01', 150, $3, $4, 28)",
    [practiceId, horseId, yardId, farrier.id],
  );
  await query("INSERT INTO horse_people (practice_id, horse_id, person_id) VALUES ($1, $2, $3)", [
    practiceId,
    horseId,
    owner.id,
  ]);

  return {
    app,
    ownerUrl: database.ownerUrl,
    appUrl: database.appUrl,
    blobFolder: blobs,
    practiceId,
    yardId,
    horseId,
    vet,
    farrier,
    manager,
    carer,
    owner,
    query,
    personWith,
    advance: (ms) => {
      nowMs += ms;
    },
    now,
    close: async () => {
      await app.close();
      await db.$disconnect();
      await admin.end();
      await database.drop();
      rmSync(blobs, { recursive: true, force: true });
    },
  };
};
