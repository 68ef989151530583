import { randomUUID } from "node:crypto";
import { OPERATIONS } from "@heelward/contracts";
import { RING_AT_ONCE } from "@heelward/domain/firstaid";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { draftFirstAidPlan, signPlan } from "../support/first-aid-plan.ts";
import { startTestService, type TestPerson, type TestService } from "../support/service.ts";

let service: TestService;
let stranger: TestPerson;
let caseId: string;
let planId: string;

const page = async () => {
  const answer = await service.owner.get(`/portal/horses/${service.horseId}`);
  expect(answer.status).toBe(200);
  return answer.body;
};
const insert = (table: string, row: Record<string, unknown>) => {
  const all = {
    practice_id: service.practiceId,
    id: randomUUID(),
    horse_id: service.horseId,
    ...row,
  };
  const columns = Object.keys(all);
  return service.query(
    `INSERT INTO ${table} (${columns.join(", ")}) VALUES (${columns.map((_, at) => `$${at + 1}`).join(", ")})`,
    Object.values(all),
  );
};

beforeAll(async () => {
  service = await startTestService();
  stranger = await service.personWith("owner", "Sally Stranger");
  const opened = await service.vet.send("post", "/cases", {
    horseId: service.horseId,
    phase: "acute",
    leadVetId: service.vet.id,
  });
  caseId = opened.body.id;
});
afterAll(async () => {
  await service.close();
});

describe("an owner's horses", () => {
  it("are the own ones only", async () => {
    const own = await service.owner.get("/portal/horses");
    expect(own.status).toBe(200);
    expect(own.body.items).toEqual([
      {
        id: service.horseId,
        name: "Test Horse",
        yard: "Test Yard",
        headline: expect.stringContaining("Test Horse"),
        nextOn: null,
      },
    ]);
    expect((await stranger.get("/portal/horses")).body.items).toEqual([]);
  });

  it("stay the own ones for an owner who is also the manager", async () => {
    const both = await service.personWith("manager", "Berta Both");
    await service.query("UPDATE people SET roles = ARRAY['manager', 'owner'] WHERE id = $1", [
      both.id,
    ]);
    expect((await both.get("/portal/horses")).body.items).toEqual([]);
    expect((await both.get(`/portal/horses/${service.horseId}`)).status).toBe(404);
  });

  it("are nothing for other roles", async () => {
    for (const person of [service.vet, service.farrier, service.manager, service.carer])
      expect((await person.get("/portal/horses")).status).toBe(403);
  });
});

describe("an owner's page", () => {
  it("shows what was released and nothing else", async () => {
    await insert("lab_results", {
      taken_on: "2026-10-01",
      test: "insulin",
      value: 28,
      unit: "µIU/mL",
      added_by: service.vet.id,
    });
    await insert("lab_results", {
      taken_on: "2026-10-02",
      test: "ACTH",
      value: 61,
      unit: "pg/mL",
      added_by: service.vet.id,
      released_at: "2026-10-03T08:00:00Z",
    });
    await insert("lab_results", {
      taken_on: "2026-10-05",
      test: "glucose",
      value: 5.5,
      unit: "mmol/L",
      added_by: service.vet.id,
      released_at: "2026-12-01T08:00:00Z",
    });
    const paper = (for_owner: boolean, caption: string, media_type: string) =>
      insert("documents", {
        kind: "photo",
        file_name: "a",
        media_type,
        sha256: "0".repeat(64),
        size_bytes: 1,
        blob_key: "none",
        taken_at: "2026-10-10T08:00:00Z",
        added_by: service.vet.id,
        for_owner,
        caption,
      });
    await paper(true, "New pads", "image/jpeg");
    await paper(true, "Care sheet", "application/pdf");
    await paper(false, "Internal picture", "image/jpeg");
    const event = (for_owner: string | null, title: string) =>
      insert("case_events", {
        case_id: caseId,
        at: "2026-10-11T08:00:00Z",
        kind: "examination",
        title,
        detail: "Internal detail",
        for_owner,
      });
    await event("The vet examined your horse.", "Internal title");
    await event(null, "Not for owners");
    const body = await page();
    const text = JSON.stringify(body);
    expect(body.released.map((one: { words: string }) => one.words)).toEqual(
      expect.arrayContaining([
        "The vet examined your horse.",
        expect.stringContaining("The laboratory measured 61 pg/mL"),
        "Care sheet",
      ]),
    );
    expect(body.pictures).toEqual([
      { documentId: expect.any(String), caption: "New pads", on: "2026-10-10" },
    ]);
    for (const hidden of ["insulin of", "28 µIU", "5.5", "Internal", "Not for owners", "glucose"])
      expect(text).not.toContain(hidden);
  });

  it("shows the vet's own words with a result released through the service", async () => {
    const added = await service.vet.send("post", `/horses/${service.horseId}/lab-results`, {
      takenOn: "2026-10-12",
      test: "triglycerides",
      value: 1.2,
      unit: "mmol/L",
      laboratory: "County laboratory",
    });
    expect(added.status).toBe(201);
    expect(JSON.stringify(await page())).not.toContain("triglycerides");
    const read = await service.vet.send(
      "post",
      `/lab-results/${added.body.id}/reading`,
      { release: true, words: "The fats in the blood are inside the range." },
      1,
    );
    expect(read.status).toBe(200);
    const lines = (await page()).released.filter((one: { what: string }) =>
      one.what.includes("triglycerides"),
    );
    expect(lines).toEqual([
      expect.objectContaining({
        on: "2026-10-12",
        words: expect.stringContaining("The fats in the blood are inside the range."),
      }),
    ]);
  });

  it("draws comfort and weight by the day, the sorest score of each", async () => {
    const check = (at: string, score: number) =>
      insert("examinations", {
        kind: "care check",
        examined_at: at,
        examined_by: service.carer.id,
        five_sign_score: score,
      });
    await check("2026-10-12T07:00:00Z", 6);
    await check("2026-10-12T18:00:00Z", 8);
    // Half past eleven at night in Dublin, still the 13th there.
    await check("2026-10-13T22:30:00Z", 5);
    await insert("weighings", {
      weighed_at: "2026-10-13T08:00:00Z",
      weight_kg: 431.6,
      low_kg: 420,
      high_kg: 440,
      method: "scale",
      weighed_by: service.carer.id,
    });
    const body = await page();
    expect(body.comfort).toEqual([
      { on: "2026-10-12", score: 8 },
      { on: "2026-10-13", score: 5 },
    ]);
    expect(body.weights).toEqual([{ on: "2026-10-13", weightKg: 432 }]);
    expect(body.paragraphs.join(" ")).toContain(
      "came to 5 of 12; lower is more comfortable. The time before it was 8.",
    );
  });

  it("names each medicine with how much and until when", async () => {
    const course = (row: Record<string, unknown>) =>
      insert("medication_courses", {
        drug_key: "phenylbutazone",
        presentation_key: "phenylbutazone-sachet-1g",
        route: "oral",
        steps: JSON.stringify([
          { fromDay: 1, toDay: 1, doseMg: 1000, timesLocal: ["08:00", "20:00"], everyDays: 1 },
          { fromDay: 2, toDay: 5, doseMg: 1000, timesLocal: ["08:00"], everyDays: 1 },
        ]),
        start_on: "2026-10-13",
        end_on: "2026-10-17",
        time_zone: "Europe/Dublin",
        weight_kg: 432,
        weight_low_kg: 420,
        weight_high_kg: 440,
        weight_method: "scale",
        drafted_by: service.vet.id,
        ...row,
      });
    await course({ status: "signed", review_on: "2026-10-16" });
    await course({ status: "draft", drug_key: "flunixin" });
    await course({ status: "stopped", drug_key: "meloxicam" });
    await course({
      status: "signed",
      drug_key: "omeprazole",
      start_on: "2026-09-01",
      end_on: "2026-09-05",
    });
    const body = await page();
    expect(body.medicines).toEqual([
      {
        name: expect.stringMatching(/phenylbutazone/i),
        howMuch: expect.stringMatching(/^\S.* once a day$/),
        until: "2026-10-17",
        watchFor: expect.stringContaining("off its food"),
      },
    ]);
    expect(body.next).toEqual([
      { what: expect.stringContaining("The vet looks at the"), on: "2026-10-16", who: null },
      { what: expect.stringContaining("Last day of the"), on: "2026-10-17", who: null },
    ]);
  });

  it("gives the next farrier's date, and asks to confirm one that has passed without blame", async () => {
    await insert("resets", {
      status: "open",
      farrier_id: service.farrier.id,
      last_done_on: "2026-09-20",
      interval_days: 14,
      due_on: "2026-10-04",
    });
    const due = (await page()).next[0];
    expect(due).toEqual({
      what: "The farrier's visit is due on 4 October, please confirm a date",
      on: "2026-10-04",
      who: "Fintan Farrier",
    });
    await service.query("UPDATE resets SET status = 'booked', booked_for = '2026-10-15T09:00:00Z'");
    expect((await page()).next[0]).toEqual({
      what: "The farrier comes",
      on: "2026-10-15",
      who: "Fintan Farrier",
    });
    expect((await service.owner.get("/portal/horses")).body.items[0].nextOn).toBe("2026-10-15");
  });

  it("says when to ring at once, what nobody knows yet, and what the words mean", async () => {
    const body = await page();
    expect(body.callNowIf).toEqual(RING_AT_ONCE);
    expect(body.practicePhone).toBe("+353 1 000 0000");
    expect(body.notKnownYet.join(" ")).toContain("no X-ray pictures");
    expect(body.notKnownYet.join(" ")).toContain("the vet is still looking");
    expect(body.glossary.map((one: { word: string }) => one.word)).toContain("pedal bone");
  });

  it("uses none of the words we avoid with owners", async () => {
    const { glossary, ...body } = await page();
    expect(JSON.stringify(body)).not.toMatch(
      /overdue|coffin|\bcured\b|safe dose|\bnormal\b|\bstall\b|\bbarn\b|\bP3\b|\bDDFT\b|founder/i,
    );
    expect(JSON.stringify(glossary)).not.toMatch(/coffin|\bcured\b|\bstall\b|\bbarn\b/i);
  });

  it("is not there for anybody else's horse, whatever is asked", async () => {
    const path = `/portal/horses/${service.horseId}`;
    expect((await stranger.get(path)).status).toBe(404);
    expect((await stranger.send("post", `${path}/questions`, { question: "Why?" })).status).toBe(
      404,
    );
    expect((await service.owner.get(`/portal/horses/${randomUUID()}`)).status).toBe(404);
    expect((await service.owner.get("/portal/horses/none")).status).toBe(400);
  });
});

describe("the plan for the feet", () => {
  it("is shown once it is signed, in plain words", async () => {
    planId = await draftFirstAidPlan(service, caseId, "Unload the tip of P3");
    expect((await page()).plan).toBeNull();
    const early = await service.owner.send("post", `/portal/prescriptions/${planId}/consent`, {
      agrees: true,
    });
    expect(early.status).toBe(404);
    await signPlan(service, planId);
    const { plan } = await page();
    expect(plan).toMatchObject({
      id: planId,
      aim: "Unload the tip of the pedal bone",
      intervalDays: 10,
      consent: null,
    });
    expect(plan.inPlainWords.join(" ")).toContain("The toe will be brought back by 5 mm.");
  });

  it("can be agreed to once, by the owner of this horse", async () => {
    const agree = (person: TestPerson, body: object = { agrees: true, words: "Yes please" }) =>
      person.send("post", `/portal/prescriptions/${planId}/consent`, body);
    expect((await agree(stranger)).status).toBe(404);
    expect((await agree(service.vet)).status).toBe(403);
    expect((await agree(service.owner, { agrees: false })).status).toBe(400);
    const agreed = await agree(service.owner);
    expect(agreed.status).toBe(201);
    expect(agreed.body.consent).toEqual({
      at: new Date(service.now()).toISOString(),
      by: { id: service.owner.id, name: "Odo Owner" },
    });
    expect((await page()).plan.consent).toEqual(agreed.body.consent);
    expect((await agree(service.owner)).status).toBe(409);
    const audit = await service.vet.get(`/audit?subjectType=prescription&subjectId=${planId}`);
    expect(audit.body.items[0]).toMatchObject({
      event: "prescription.agreed",
      actor: { id: service.owner.id },
    });
    const whole = await service.vet.get("/audit/verification");
    expect(
      whole.body.faults.filter((fault: { what: string }) => fault.what.includes(planId)),
    ).toEqual([]);
  });

  it("is no longer one to agree to when it was replaced or declined", async () => {
    const next = await draftFirstAidPlan(service, caseId, "Second plan");
    await signPlan(service, next);
    const late = await service.owner.send("post", `/portal/prescriptions/${planId}/consent`, {
      agrees: true,
    });
    expect(late.status).toBe(409);
    expect((await page()).plan.id).toBe(next);
    const declined = await service.farrier.send(
      "post",
      `/prescriptions/${next}/reply`,
      { reply: "declined", text: "Too sore today" },
      2,
    );
    expect(declined.status).toBe(200);
    const body = await page();
    expect(body.plan).toBeNull();
    expect(body.paragraphs.join(" ")).toContain("settling the next step for the feet together");
    expect(JSON.stringify(body)).not.toContain("Too sore today");
    expect(
      (
        await service.owner.send("post", `/portal/prescriptions/${next}/consent`, {
          agrees: true,
        })
      ).status,
    ).toBe(409);
  });
});

describe("a question", () => {
  it("becomes a note to the vet in charge that must be acknowledged, and the owner sees who read it", async () => {
    const asked = await service.owner
      .send("post", `/portal/horses/${service.horseId}/questions`, { question: "May he go out?" })
      .set("idempotency-key", "one-question");
    expect(asked.status).toBe(201);
    const again = await service.owner
      .send("post", `/portal/horses/${service.horseId}/questions`, { question: "May he go out?" })
      .set("idempotency-key", "one-question");
    expect(again.body).toEqual(asked.body);
    const notes = await service.vet.get("/handoff-notes?state=open");
    const note = notes.body.items.find((one: { id: string }) => one.id === asked.body.id);
    expect(note).toMatchObject({
      fromRole: "owner",
      fromPerson: { name: "Odo Owner" },
      toRole: "vet",
      toPerson: { id: service.vet.id },
      found: "May he go out?",
      caseId,
    });
    expect((await page()).questions).toEqual([
      { askedAt: asked.body.askedAt, question: "May he go out?", readBy: null, readAt: null },
    ]);
    await service.vet.send(
      "post",
      `/handoff-notes/${note.id}/acknowledgement`,
      { answer: "Not yet" },
      1,
    );
    expect((await page()).questions[0]).toMatchObject({ readBy: "Vera Vet" });
  });

  it("goes to the practice manager when no vet is in charge", async () => {
    await service.query("UPDATE cases SET lead_vet_id = NULL");
    const asked = await service.owner.send("post", `/portal/horses/${service.horseId}/questions`, {
      question: "When does the farrier come?",
    });
    const notes = await service.manager.get("/handoff-notes?state=open");
    expect(notes.body.items.find((one: { id: string }) => one.id === asked.body.id)).toMatchObject({
      toRole: "manager",
      toPerson: null,
    });
  });
});

describe("after the case is closed", () => {
  it("shows a quiet page: no dates, no medicines, no pictures, no reminders", async () => {
    const { body } = await service.vet.get(`/cases/${caseId}`);
    const closed = await service.vet.send(
      "post",
      `/cases/${caseId}/closure`,
      {
        reason: "welfare decision",
        note: "Kind end at home",
        welfareTalk: "Spoken with the owner",
        farrierToldById: service.vet.id,
        carerToldById: service.vet.id,
      },
      body.version,
    );
    expect(closed.status).toBe(200);
    const before = await service.query("SELECT count(*)::int AS n FROM handoff_notes");
    const quiet = await page();
    expect(quiet).toMatchObject({
      isClosed: true,
      headline: "We are sorry about Test Horse.",
      next: [],
      medicines: [],
      plan: null,
      comfort: [],
      weights: [],
      released: [],
      pictures: [],
      callNowIf: [],
      notKnownYet: [],
      practicePhone: "+353 1 000 0000",
    });
    expect(JSON.stringify(quiet)).not.toMatch(/Kind end|welfare|put to sleep|died/i);
    const { items } = (await service.owner.get("/portal/horses")).body;
    expect(items[0]).toMatchObject({ headline: "We are sorry about Test Horse.", nextOn: null });
    expect(await service.query("SELECT count(*)::int AS n FROM handoff_notes")).toEqual(before);
    const late = await service.owner.send("post", `/portal/prescriptions/${planId}/consent`, {
      agrees: true,
    });
    expect(late.status).toBe(409);
  });
});

describe("everything else", () => {
  it("is closed to owners: every operation that does not name them answers 403", async () => {
    const open = OPERATIONS.filter(
      ({ access }) => access === "public" || access === "anyone" || access.includes("owner"),
    );
    const others = OPERATIONS.filter((operation) => !open.includes(operation));
    expect(others.length).toBeGreaterThan(60);
    for (const operation of others) {
      const path = operation.path
        .replace(":date", "2026-10-14")
        .replaceAll(/:\w+/g, () => randomUUID());
      const method = operation.method.toLowerCase() as "post" | "put" | "patch" | "delete";
      const answer =
        operation.method === "GET"
          ? await service.owner.get(path)
          : await service.owner.send(method, path, operation.upload === true ? undefined : {});
      expect(answer.status, `${operation.id}`).toBe(403);
    }
    const besides = open
      .filter(({ access }) => access !== "public")
      .filter(({ path }) => !/^\/(?:portal\/|session|second-factors)/u.test(path));
    expect(besides.map(({ id }) => id).toSorted()).toEqual([
      "listCalendarFeeds",
      "makeCalendarFeed",
      "readDocumentContent",
      "readFeedingPlan",
      "readMedicineRecordCsv",
      "readMedicineRecordPdf",
      "readMovementLadder",
      "readWeightCurve",
      "revokeCalendarFeed",
    ]);
    // What is about one horse is for its own owner alone.
    const aboutHorse = besides.filter(({ path }) => path.includes(":horseId"));
    expect(aboutHorse.length).toBe(5);
    for (const { id, path } of aboutHorse) {
      const answer = await stranger.get(
        `${path.replace(":horseId", service.horseId)}?from=2026-01-01&to=2026-12-31`,
      );
      expect([400, 404], id).toContain(answer.status);
      expect(answer.text).not.toContain("Test Horse");
    }
    const hidden = await service.query("SELECT id FROM documents WHERE NOT for_owner");
    expect(hidden.length).toBeGreaterThan(0);
    for (const { id } of hidden)
      expect((await service.owner.get(`/documents/${String(id)}/content`)).status).toBe(404);
  });
});
