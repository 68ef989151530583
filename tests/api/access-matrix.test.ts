import { randomUUID } from "node:crypto";
import { isWrite, OPERATIONS, problemSlug, type Operation } from "@heelward/contracts";
import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { ACCESS_TABLE } from "../support/access-table.ts";
import {
  roleNow,
  seesHorse,
  startAccessWorld,
  TARGETS,
  type AccessWorld,
  type Caller,
  type Target,
} from "../support/access-world.ts";
import { bodyOf } from "../support/sample-bodies.ts";
import { sampleInput } from "../support/sample-input.ts";

/**
 * Every operation, asked by everybody: each role of two practices, around a horse and away from it,
 * removed, demoted and never signed in, about the own horse, a neighbour's and one of another
 * practice. What each may do stands in a table of its own; nobody may do more, and nobody less.
 */
let world: AccessWorld;
let film: Uint8Array;
beforeAll(async () => {
  world = await startAccessWorld();
  film = await sharp({ create: { width: 400, height: 300, channels: 3, background: "#777" } })
    .png()
    .toBuffer();
});
afterAll(async () => {
  await world.close();
});

const ASKED = OPERATIONS.filter((operation) => operation.access !== "public");
/** These end what the other requests need; they have tests of their own. */
const ENDS_THE_CALLER = new Set(["signOut"]);

/** What these are about is not among the rows: nobody has it. */
const NOT_MADE = new Set(["revokeSession", "confirmAppCode"]);
/** What an owner may see of these has been released to owners; nothing here has. */
const ONCE_RELEASED = new Set(["readDocumentContent", "consentToPlan"]);

/** A farrier does these for the own week only, and the week asked about is somebody else's. */
const OWN_WEEK_ONLY = new Set(["setWorkingWeek", "addAbsence", "withdrawAbsence"]);
/** What these end is gone for whoever asks next. */
const MAY_BE_GONE = new Set(["removeFilmOutline", "removeFactor", "removePin", "removeClosure"]);

const TABLE_OF: Readonly<Record<string, string>> = {
  caseId: "cases",
  radiographId: "radiographs",
  courseId: "medication_courses",
  resultId: "lab_results",
  procedureId: "procedures",
  outlineId: "film_outlines",
  shoeingRecordId: "shoeing_records",
  resetId: "resets",
  sheetId: "first_aid_sheets",
  documentId: "documents",
  taskId: "case_tasks",
  noteId: "handoff_notes",
  ladderId: "movement_ladders",
  watchId: "limb_watches",
  absenceId: "absences",
  feedId: "calendar_feeds",
  invitationId: "invitations",
  dataRequestId: "data_requests",
  factorId: "second_factors",
};
/** The same name stands for different things below different addresses. */
const tableOf = (path: string, name: string): string => {
  if (name === "prescriptionId")
    return path.startsWith("/written-") ? "written_prescriptions" : "prescriptions";
  if (name === "planId") return path.startsWith("/feeding-") ? "feeding_plans" : "horizon_plans";
  if (name === "deviceId") return path.startsWith("/own-") ? "own_devices" : "yard_devices";
  const table = TABLE_OF[name];
  if (table === undefined) throw new Error(`${path}: say which table :${name} means`);
  return table;
};

const idFor = (path: string, name: string, target: Target): string => {
  const { horseId, yardId } = world.places[target];
  if (name === "horseId") return horseId;
  if (name === "yardId") return yardId;
  if (name === "personId") return world.bystanders[target];
  if (name === "date") return "2026-12-24";
  if (name === "sessionId") return randomUUID();
  return world.rows[target].get(tableOf(path, name)) ?? randomUUID();
};

/** Ids inside a body name what the request is about, as those in the address do. */
const withIds = (value: unknown, path: string, target: Target): unknown => {
  if (Array.isArray(value)) return value.map((one) => withIds(one, path, target));
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([name, one]) => [
      name,
      /^(horse|yard|person|case|radiograph|course|reset|prescription)Id$/u.test(name)
        ? idFor(path, name, target)
        : name.endsWith("Ids") && Array.isArray(one)
          ? []
          : withIds(one, path, target),
    ]),
  );
};

const multipart = (fields: Record<string, unknown>, bytes: Uint8Array) => {
  const boundary = "the-parts-of-this-form";
  const parts = Object.entries(fields).map(
    ([name, value]) =>
      `--${boundary}\r\ncontent-disposition: form-data; name="${name}"\r\n\r\n${String(value)}\r\n`,
  );
  const file = `--${boundary}\r\ncontent-disposition: form-data; name="file"; filename="film.png"\r\ncontent-type: image/png\r\n\r\n`;
  return {
    type: `multipart/form-data; boundary=${boundary}`,
    payload: Buffer.concat([
      Buffer.from(parts.join("") + file),
      bytes,
      Buffer.from(`\r\n--${boundary}--\r\n`),
    ]),
  };
};

/** A paper is kept as it is; a film has to be one. */
const fileFor = (operation: Operation): Uint8Array =>
  operation.id === "addDocument" ? Buffer.from("%PDF-1.7\n%%EOF\n") : film;

/** A version nobody has: a change that is allowed stops there and changes nothing. */
const NO_SUCH_VERSION = '"999"';

const ask = async (operation: Operation, caller: Caller, target: Target) => {
  const address = operation.path.replaceAll(/:(\w+)/gu, (_, name: string) =>
    idFor(operation.path, name, target),
  );
  const query = operation.query === undefined ? {} : sampleInput(operation.query);
  const body = withIds(bodyOf(operation), operation.path, target) as
    | Record<string, unknown>
    | undefined;
  const form = operation.upload === true ? multipart(body ?? {}, fileFor(operation)) : undefined;
  const answer = await world.service.app.inject({
    method: operation.method,
    url: `/api/v1${address}`,
    query: Object.fromEntries(Object.entries(query).map(([name, one]) => [name, String(one)])),
    headers: {
      ...(caller.token === null ? {} : { authorization: `Bearer ${caller.token}` }),
      ...(isWrite(operation) ? { "idempotency-key": randomUUID() } : {}),
      ...(operation.ifMatch === true ? { "if-match": NO_SUCH_VERSION } : {}),
      ...(form !== undefined
        ? { "content-type": form.type }
        : body === undefined
          ? {}
          : { "content-type": "application/json" }),
    } satisfies Record<string, string>,
    ...(form !== undefined
      ? { payload: form.payload }
      : body === undefined
        ? {}
        : { payload: JSON.stringify(body) }),
  });
  const isProblem = String(answer.headers["content-type"]).includes("problem+json");
  const slug = isProblem ? problemSlug(answer.json<{ type: string }>().type) : null;
  return { status: answer.statusCode, slug, text: answer.body };
};

type Verdict = "allowed" | "unauthenticated" | "forbidden" | "not-found";

/** What a request is about at all: its address, or else the ids of its body. */
const isAboutHorse = (operation: Operation): boolean =>
  /"(horse|case)Id"/u.test(JSON.stringify(bodyOf(operation) ?? {}));

const expected = (operation: Operation, caller: Caller, target: Target): Verdict => {
  const entry = ACCESS_TABLE.get(operation.id);
  if (entry === undefined) throw new Error(`${operation.id} has no line in the table of access`);
  if (caller.since === "removed" || caller.token === null) return "unauthenticated";
  if (!entry.roles.includes(roleNow(caller))) return "forbidden";
  if (ONCE_RELEASED.has(operation.id) && roleNow(caller) === "owner") return "not-found";
  const isOwnPractice = (target === "elsewhere") === (caller.practice === "B");
  if (OWN_WEEK_ONLY.has(operation.id) && roleNow(caller) === "farrier" && isOwnPractice)
    return "forbidden";
  switch (entry.reach) {
    case "any":
      return isAboutHorse(operation) && !seesHorse(caller, target) ? "not-found" : "allowed";
    case "mine":
      return world.places[target].vetId === caller.id && !NOT_MADE.has(operation.id)
        ? "allowed"
        : "not-found";
    case "practice":
      return isOwnPractice ? "allowed" : "not-found";
    case "yard":
      return isOwnPractice && (roleNow(caller) === "farrier" || seesHorse(caller, target))
        ? "allowed"
        : "not-found";
    default:
      return seesHorse(caller, target) ? "allowed" : "not-found";
  }
};

/** A horse, case or person named in the body that is not there is a field at fault: hidden and absent alike. */
const verdictOf = ({
  slug,
  text,
}: {
  readonly slug: string | null;
  readonly text: string;
}): Verdict => {
  if (slug === "malformed-request" && /"pointer":"\/(horse|case|person)Id"/u.test(text))
    return "not-found";
  // A film that a busy machine did not read in time is refused before anything is looked up.
  if (slug === "unreadable-film") return "not-found";
  return slug === "unauthenticated" || slug === "forbidden" || slug === "not-found"
    ? slug
    : "allowed";
};

/** Ids of what a caller must not see: of the other practice, and of horses not theirs. */
const secretsFor = (caller: Caller): readonly string[] =>
  TARGETS.filter((target) => !seesHorse(caller, target)).flatMap((target) => {
    const isOther = (target === "elsewhere") !== (caller.practice === "B");
    const { horseId, practiceId } = world.places[target];
    const cases = world.rows[target].get("cases");
    return [horseId, ...(cases === undefined ? [] : [cases]), ...(isOther ? [practiceId] : [])];
  });

/** Operations by what they do, so that nothing is ended before it was asked for. */
const inOrder = [
  ...ASKED.filter((one) => one.method === "GET"),
  ...ASKED.filter((one) => one.method !== "GET" && one.method !== "DELETE"),
  ...ASKED.filter((one) => one.method === "DELETE"),
].filter((one) => !ENDS_THE_CALLER.has(one.id));

describe("every operation, role, horse and practice", () => {
  it("has a line in the table, and the table has no line too many", () => {
    expect([...ACCESS_TABLE.keys()].toSorted()).toEqual(ASKED.map((one) => one.id).toSorted());
  });

  it("allows what the table allows, refuses what it refuses, and shows nobody another's horse", async () => {
    const wrong: string[] = [];
    let requests = 0;
    for (const operation of inOrder) {
      const targets =
        /:\w+/u.test(operation.path) || isAboutHorse(operation)
          ? TARGETS
          : (["own", "elsewhere"] as const);
      // One operation after the other: requests of one kind side by side, kinds in order.
      // oxlint-disable-next-line no-await-in-loop
      await Promise.all(
        world.callers.map(async (caller) => {
          const secrets = secretsFor(caller);
          for (const target of targets) {
            const should = expected(operation, caller, target);
            // A person's requests come one by one.
            // oxlint-disable-next-line no-await-in-loop
            const answer = await ask(operation, caller, target);
            requests += 1;
            const is = verdictOf(answer);
            const where = `${operation.id} by ${caller.name} about ${target}`;
            const isGone =
              (MAY_BE_GONE.has(operation.id) || answer.slug === "unreadable-film") &&
              should === "allowed" &&
              is === "not-found";
            if (is !== should && !isGone)
              wrong.push(`${where}: ${is}, should be ${should} ${answer.text.slice(0, 200)}`);
            const leaked = secrets.filter((secret) => answer.text.includes(secret));
            if (answer.status < 400 && leaked.length > 0)
              wrong.push(`${where}: shows ${leaked.join(", ")}`);
          }
        }),
      );
    }
    expect(wrong).toEqual([]);
    expect(requests).toBeGreaterThanOrEqual(10_000);
  }, 240_000);

  it("gives the same answer for what is hidden and for what is not there", async () => {
    const owner = world.callers.find((one) => one.role === "owner" && one.link === "around");
    const carer = world.callers.find((one) => one.role === "carer" && one.link === "around");
    for (const [caller, path] of [
      [owner, "/portal/horses/"],
      [carer, "/horses/"],
    ] as const) {
      const read = async (id: string) => {
        const answer = await world.service.app.inject({
          url: `/api/v1${path}${id}`,
          headers: { authorization: `Bearer ${caller?.token ?? ""}` },
        });
        return { ...answer.json<object>(), instance: "" };
      };
      // oxlint-disable-next-line no-await-in-loop
      expect(await read(world.places.elsewhere.horseId)).toEqual(await read(randomUUID()));
      // oxlint-disable-next-line no-await-in-loop
      expect(await read(world.places.neighbour.horseId)).toEqual(await read(randomUUID()));
    }
  });
});
