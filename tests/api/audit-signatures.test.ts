import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { BUTE_SACHETS, courseOf, signedCourse, weighedBefore } from "../support/medicine.ts";
import { startTestService, type TestService } from "../support/service.ts";
import { keepTables, type Tampering } from "../support/tamper.ts";

let service: TestService;
let caseId: string;
let courseId: string;
let procedureId: string;
let tampering: Tampering;

beforeAll(async () => {
  service = await startTestService();
  const { vet, horseId } = service;
  await service.query("UPDATE horses SET food_chain = 'excluded'");
  await weighedBefore(service, horseId, 500, "2026-10-13T08:00:00+01:00");
  const opened = await vet.send("post", "/cases", { horseId, phase: "acute" });
  caseId = opened.body.id;

  const course = await signedCourse(
    vet,
    horseId,
    courseOf(...BUTE_SACHETS, "2026-10-14", [{ toDay: 30, doseMg: 1000, timesLocal: ["20:00"] }]),
  );
  courseId = course.id;
  const step = async (path: string, body: object) => {
    const { body: now } = await vet.get(`/courses/${courseId}`);
    const answer = await vet.send("post", `/courses/${courseId}/${path}`, body, now.version);
    if (answer.status !== 200) throw new Error(`${path}: ${answer.text}`);
  };
  await step("review", { reviewOn: "2026-10-16", reason: "Better, eats well" });
  await step("hold", { reason: "Loose dung" });
  await step("release", { reason: "Dung is firm again" });

  const asked = await vet.send("post", `/cases/${caseId}/procedures`, {
    foot: "LF",
    kind: "drainage",
    reason: "Dark shadow, more lame, heat at the toe",
  });
  procedureId = asked.body.id;
  const ordered = await vet.send(
    "post",
    `/procedures/${procedureId}/signature`,
    {
      consent: { by: "Odo Owner", text: "Explained and agreed", at: "2026-10-14T07:05:00+01:00" },
      aftercare: ["Bandage dry"],
    },
    1,
  );
  if (ordered.status !== 200) throw new Error(`not ordered: ${ordered.text}`);

  const { body: before } = await vet.get(`/cases/${caseId}`);
  const closed = await vet.send(
    "post",
    `/cases/${caseId}/closure`,
    {
      reason: "welfare decision",
      note: "Kind end at home",
      welfareTalk: "Spoken with the owner",
      farrierToldById: vet.id,
      carerToldById: vet.id,
    },
    before.version,
  );
  if (closed.status !== 200) throw new Error(`not closed: ${closed.text}`);
  tampering = await keepTables(service, [
    "medication_courses",
    "procedures",
    "cases",
    "case_events",
  ]);
});
afterAll(async () => {
  await service.close();
});

const verify = async () => {
  const answer = await service.manager.get("/audit/verification");
  expect(answer.status).toBe(200);
  return answer.body as { signatures: number; isWhole: boolean; faults: { what: string }[] };
};
const faultsAfter = async (sql: string): Promise<string[]> => {
  await tampering.tamper(sql);
  const { faults } = await verify();
  await tampering.undo();
  return faults.map((fault) => fault.what);
};

describe("signatures of medicines, procedures and closings", () => {
  it("hold as long as nobody touched them: a course, its review and release, a procedure, a closing", async () => {
    expect(await verify()).toMatchObject({ isWhole: true, faults: [], signatures: 5 });
  });

  it.each([
    ["steps", "steps", "jsonb_set(steps, '{0,doseMg}', '2000')"],
    ["drug.key", "drug_key", "'suxibuzone'"],
    ["drug.presentation", "presentation_key", "'phenylbutazone-paste-200mg-ml'"],
    ["drug.route", "route", "'intravenous'"],
    ["startOn", "start_on", "start_on + 1"],
    ["endOn", "end_on", "end_on + 1"],
    ["timeZone", "time_zone", "'UTC'"],
    ["weight.weightKg", "weight_kg", "weight_kg + 50"],
    ["weight.lowKg", "weight_low_kg", "weight_low_kg + 1"],
    ["instructions", "instructions", "'Give more'"],
    ["overrides", "overrides", `'[{"rule":"a","reason":"b"}]'`],
    ["signer.id", "signed_by", "gen_random_uuid()"],
    ["signedAt", "signed_at", "signed_at + interval '1 second'"],
  ])("show a medication course whose %s was changed", async (field, column, value) => {
    expect(await faultsAfter(`UPDATE medication_courses SET ${column} = ${value}`)).toEqual([
      `medication course ${courseId} says something else under ${field} than what was signed`,
    ]);
  });

  it("show a changed review, also when it is taken away", async () => {
    expect(
      await faultsAfter(
        `UPDATE medication_courses SET reviews = jsonb_set(reviews, '{0,reviewOn}', '"2026-12-24"')`,
      ),
    ).toEqual([
      `review of medication course ${courseId} says something else under reviewOn than what was signed`,
    ]);
    expect(await faultsAfter("UPDATE medication_courses SET reviews = '[]'")).toEqual([
      `tells of a signature that is gone: medication course ${courseId}`,
    ]);
  });

  it("show a changed release of a held course", async () => {
    expect(
      await faultsAfter(
        "UPDATE case_events SET detail = 'Another reason' WHERE ref_type = 'medication course' AND data ? 'signedText'",
      ),
    ).toEqual([
      `release of medication course ${courseId} says something else under reason than what was signed`,
    ]);
  });

  it("show a changed procedure", async () => {
    expect(await faultsAfter("UPDATE procedures SET aftercare = '{}'")).toEqual([
      `procedure ${procedureId} says something else under aftercare than what was signed`,
    ]);
    expect(
      await faultsAfter(
        `UPDATE procedures SET consent = jsonb_set(consent, '{by}', '"Somebody else"')`,
      ),
    ).toEqual([`procedure ${procedureId} says something else under consent than what was signed`]);
  });

  it("show a changed closing, also when its signature was thrown away", async () => {
    expect(await faultsAfter("UPDATE cases SET close_reason = 'recovered'")).toEqual([
      `closing of case ${caseId} says something else under reason than what was signed`,
    ]);
    const gone = await faultsAfter(
      "DELETE FROM case_events WHERE ref_type = 'case' AND data ? 'signedText'",
    );
    expect(gone).toContain(`closing of case ${caseId} has lost its signature`);
  });

  it("show a signature that was put under another record", async () => {
    const copied = await faultsAfter(
      `INSERT INTO procedures SELECT (jsonb_populate_record(p, jsonb_build_object('id', gen_random_uuid()))).* FROM procedures p`,
    );
    expect(copied.some((what) => what.endsWith("procedureId than what was signed"))).toBe(true);
  });

  it("are checked in every table that keeps one, even in a table nobody thought of", async () => {
    await service.query(
      "CREATE TABLE later_papers (id uuid PRIMARY KEY, signed_text text, signature text, signing_key_id uuid); GRANT SELECT ON later_papers TO heelward_app",
    );
    await service.query(
      "INSERT INTO later_papers SELECT id, signed_text, signature, signing_key_id FROM procedures",
    );
    expect((await verify()).isWhole).toBe(true);
    await service.query("UPDATE later_papers SET signed_text = signed_text || ' '");
    expect((await verify()).faults.map((fault) => fault.what)).toEqual([
      `later paper ${procedureId} does not match its signature`,
    ]);
    await service.query("DROP TABLE later_papers");
  });
});
