import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { enterResult } from "../support/laboratory.ts";
import {
  addAnimal,
  atTime,
  BUTE_PASTE,
  courseOf,
  signedCourse,
  signInAgain,
  weighedBefore,
  type Team,
} from "../support/medicine.ts";
import { startTestService, type TestService } from "../support/service.ts";

/**
 * The medicine rows of the feature list, each asked of the whole service. Elsewhere: 42 (a new weight)
 * and the old weight of 41 in medication-weights and medication, 45, 46, 47 in medication, 51 in
 * medication-papers, 54's refusal in medication-rules, the arithmetic of all in the domain's tests.
 */
let service: TestService;
let team: Team;
beforeAll(async () => {
  service = await startTestService();
  team = await atTime(service, "2026-10-14T09:50:00+01:00");
});
afterAll(async () => {
  await service.close();
});

const BODY = { reason: "asked by the owner" };
const TODAY = "2026-10-14";
const rulesOf = (body: { findings: { rule: string; outcome: string }[] }, outcome: string) =>
  body.findings.filter((one) => one.outcome === outcome).map((one) => one.rule);
const openCase = async (horseId: string): Promise<string> => {
  const opened = await team.vet.send("post", "/cases", { horseId, phase: "acute" });
  expect(opened.status).toBe(201);
  return opened.body.id;
};
const check = (horseId: string, fiveSignScore: number, examinedAt: string) =>
  team.carer.send("post", `/horses/${horseId}/care-checks`, {
    examinedAt,
    fiveSignScore,
    signs: [],
  });

describe("doses", () => {
  it("a tape shows its low end, 428 kg down to 393 (Utrecht weigh-tape study: ponies over 100 cm −1.64 %, SD 4.64)", async () => {
    const horse = await addAnimal(service, { name: "Tape", heightCm: 148 });
    const weighed = await team.carer.send("post", `/horses/${horse}/weighings`, {
      method: "tape",
      weightKg: 428,
      weighedAt: "2026-10-14T09:00:00+01:00",
    });
    expect(weighed.status).toBe(201);
    expect(Math.round(weighed.body.lowKg)).toBe(393);
  });

  it("1,150 mg by vein and 500 mg by mouth within 24 h at 262 kg are 6.3 mg/kg and refused for a pony (UK label: 4.4 mg/kg a day)", async () => {
    const horse = await addAnimal(service, { name: "Stack", type: "pony", heightCm: 120 });
    await weighedBefore(service, horse, 262, "2026-10-13T08:00:00+01:00");
    const give = (route: string, doseMg: number, more: object = {}) =>
      team.vet.send("post", `/horses/${horse}/doses`, {
        drugKey: "phenylbutazone",
        route,
        doseMg,
        givenAt: "2026-10-14T09:50:00+01:00",
        ...more,
      });
    const vein = await give("intravenous", 1150, { ...BODY });
    expect(vein.status).toBe(201);
    const mouth = await give("oral", 500);
    expect(mouth.status).toBe(422);
    // (1150 + 500) / 262 = 6.298 mg/kg.
    expect(mouth.body.detail).toContain("6.3");
    const kept = await team.vet.get(`/horses/${horse}/refused-requests`);
    expect(kept.body.items).toHaveLength(1);
  });

  it.each([
    ["phenylbutazone", "phenylbutazone-powder-1g", 1000, "passport not seen", "has not been seen"],
    ["suxibuzone", "suxibuzone-granules-1.5g", 1500, "passport not seen", "has not been seen"],
    ["phenylbutazone", "phenylbutazone-powder-1g", 1000, "not excluded", "does not exclude"],
    ["suxibuzone", "suxibuzone-granules-1.5g", 1500, "not excluded", "does not exclude"],
  ] as const)(
    "%s (%s, %i mg) cannot be signed nor given for a horse with %s, and the reason is shown: the passport %s (UK and EU law on food animals)",
    async (drugKey, presentationKey, doseMg, foodChain, reason) => {
      const body = courseOf(drugKey, presentationKey, "2026-10-15", [
        { doseMg, timesLocal: ["08:00"] },
      ]);
      const locked = await addAnimal(service, { name: "Locked", foodChain });
      await weighedBefore(service, locked, 500, "2026-10-13T08:00:00+01:00");
      const checked = await team.vet.send("post", `/horses/${locked}/course-checks`, body);
      expect(rulesOf(checked.body, "block")).toEqual(["medication/food-chain@1"]);
      const refused = await team.vet.send("post", `/horses/${locked}/courses`, body);
      const single = await team.vet.send("post", `/horses/${locked}/doses`, {
        drugKey,
        route: "oral",
        doseMg,
        givenAt: "2026-10-14T09:50:00+01:00",
        ...BODY,
      });
      // Drafted while the passport excluded it, it is stopped at the signature.
      const turned = await addAnimal(service, { name: "Turned", foodChain: "excluded" });
      await weighedBefore(service, turned, 500, "2026-10-13T08:00:00+01:00");
      const draft = await team.vet.send("post", `/horses/${turned}/courses`, body);
      expect(draft.status).toBe(201);
      await service.query("UPDATE horses SET food_chain = $2 WHERE id = $1", [turned, foodChain]);
      const path = `/courses/${draft.body.id}/signature`;
      const signed = await team.vet.send("post", path, {}, draft.body.version);
      for (const answer of [refused, single, signed]) {
        expect(answer.status).toBe(422);
        expect(answer.body.detail).toContain(reason);
        expect(answer.body.detail).toContain(drugKey);
        expect(answer.body.detail).toContain("cannot be signed");
      }
      expect(
        await service.query(
          "SELECT id FROM medication_courses WHERE horse_id = ANY ($1) AND status <> 'draft'",
          [[locked, turned]],
        ),
      ).toEqual([]);
      expect(
        await service.query("SELECT id FROM dose_records WHERE horse_id = $1", [locked]),
      ).toEqual([]);
    },
  );

  it("1.5 g of suxibuzone twice a day in 500 kg counts as 4.22 mg/kg of phenylbutazone: five days pass, the sixth is refused (molar mass 308.4 / 438.5; UK labels)", async () => {
    const horse = await addAnimal(service, { name: "Suxi" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    const ask = (toDay: number) =>
      team.vet.send(
        "post",
        `/horses/${horse}/course-checks`,
        courseOf("suxibuzone", "suxibuzone-granules-1.5g", "2026-10-15", [
          { toDay, doseMg: 1500, timesLocal: ["08:00", "20:00"] },
        ]),
      );
    const five = await ask(5);
    expect(five.body.allowed).toBe(true);
    // C19H20N2O2 308.37 g/mol, C24H26N2O6 438.47 g/mol (IUPAC atomic weights).
    expect((3000 * (308.37 / 438.47)) / 500).toBeCloseTo(4.22, 2);
    const six = await ask(6);
    expect(six.body.allowed).toBe(false);
    expect(JSON.stringify(six.body.findings)).toContain("4.22");
  });

  it("a dose three hours late shows late, and a second tap from a phone that was offline asks and never counts twice (house rule)", async () => {
    const horse = await addAnimal(service, { name: "Late" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    const course = await signedCourse(
      team.vet,
      horse,
      courseOf(...BUTE_PASTE, TODAY, [{ toDay: 2, doseMg: 1000, timesLocal: ["10:00", "22:00"] }]),
    );
    team = await atTime(service, "2026-10-14T13:00:00+01:00");
    const day = await team.carer.get(`/care-days/${TODAY}`);
    expect(
      day.body.doses.find((one: { courseId: string }) => one.courseId === course.id),
    ).toMatchObject({ state: "late" });
    const tap = () =>
      team.carer.send("post", `/courses/${course.id}/doses`, {
        scheduledAt: "2026-10-14T10:00:00+01:00",
        givenAt: "2026-10-14T13:00:00+01:00",
        outcome: "given",
        batch: "LOT-1",
      });
    expect((await tap()).body.batch).toBe("LOT-1");
    expect((await tap()).status).toBe(409);
    expect(
      await service.query("SELECT count(*)::int AS n FROM dose_records WHERE course_id = $1", [
        course.id,
      ]),
    ).toEqual([{ n: 1 }]);
  });
});

describe("blood", () => {
  it("at 14 days a task for albumin and creatinine opens, and 31, 28, 27 g/L draws a falling flag (house interval; labels ask for baseline and periodic tests)", async () => {
    const horse = await addAnimal(service, { name: "Blood" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    const course = await signedCourse(
      team.vet,
      horse,
      courseOf("meloxicam", "meloxicam-suspension-15mg-ml", "2026-10-15", [
        { toDay: 14, doseMg: 300, timesLocal: ["09:00"] },
      ]),
    );
    const tasks = async () =>
      (await team.vet.get(`/horses/${horse}/monitoring-tasks`)).body.items.filter(
        (one: { courseId: string; kind: string }) =>
          one.courseId === course.id && one.kind === "blood",
      );
    const day14 = (await tasks()).find((one: { dueOn: string }) => one.dueOn === "2026-10-29");
    expect(day14.tests).toEqual(expect.arrayContaining(["albumin", "creatinine"]));
    const albumin = (value: number, takenOn: string) =>
      enterResult(team.vet, horse, { takenOn, test: "albumin", value, unit: "g/L" });
    await albumin(31, "2026-10-01");
    await albumin(28, "2026-10-08");
    const last = await albumin(27, TODAY);
    expect(last.findings[0].detail).toContain("falling");
    const { series } = (await team.vet.get(`/horses/${horse}/lab-trends`)).body;
    expect(series.find((one: { test: string }) => one.test === "albumin")).toMatchObject({
      falling: true,
      unit: "g/L",
      level: "amber",
    });
  });

  it("the same ACTH reads otherwise in May and in September, and a foreign method shows no band (Equine endocrinology group table, from memory)", async () => {
    const horse = await addAnimal(service, { name: "Season" });
    const acth = (takenOn: string, more: object = {}) =>
      enterResult(team.vet, horse, {
        takenOn,
        test: "ACTH",
        value: 60,
        unit: "pg/mL",
        assay: "chemiluminescent",
        ...more,
      });
    const may = await acth("2026-05-12");
    const september = await acth("2026-09-15");
    expect(may.reading).toBe("likely");
    expect(september.reading).toBe("equivocal");
    expect(may.reference).toMatchObject({ high: 40, season: expect.stringContaining("May") });
    expect(september.reference).toMatchObject({ low: 30, high: 90 });
    const foreign = await acth("2026-05-12", { assay: "another method" });
    expect(foreign).toMatchObject({ reading: null, reference: null });
    // The laboratory's own cut-off of the week comes first, whatever its method.
    const own = await acth("2026-09-15", { assay: "another method", cutoff: 47 });
    expect(own).toMatchObject({ reading: "above the cut-off", reference: { low: 47, high: 47 } });
  });

  it("a sugar test is read at its own minutes and cut-off, TRH at exactly 10 minutes and not in autumn (5-Minute Consult 3rd ed.; Equine endocrinology group)", async () => {
    const horse = await addAnimal(service, { name: "Syrup" });
    const insulin = (value: number, protocol: string, minute: number) =>
      enterResult(team.vet, horse, {
        takenOn: TODAY,
        test: "insulin",
        value,
        unit: "µIU/mL",
        protocol,
        minute,
      });
    expect((await insulin(46, "syrup 0.15 mL/kg", 75)).reading).toBe("positive");
    expect((await insulin(45, "syrup 0.15 mL/kg", 75)).reading).toBe("not positive");
    expect((await insulin(46, "syrup 0.45 mL/kg", 75)).reading).toBe("not positive");
    expect((await insulin(200, "syrup 0.45 mL/kg", 30)).reading).toBeNull();
    const trh = (value: number, takenOn: string, minute: number) =>
      enterResult(team.vet, horse, {
        takenOn,
        test: "ACTH",
        value,
        unit: "pg/mL",
        protocol: "TRH stimulation",
        minute,
      });
    expect((await trh(221, "2026-03-10", 10)).reading).toBe("positive");
    expect((await trh(109, "2026-03-10", 10)).reading).toBe("negative");
    expect((await trh(221, "2026-03-10", 11)).reading).toBeNull();
    expect((await trh(221, "2026-09-10", 10)).reading).toBeNull();
    const wrong = await team.vet.send("post", `/horses/${horse}/lab-results`, {
      takenOn: TODAY,
      test: "albumin",
      value: 30,
      unit: "g/L",
      protocol: "TRH stimulation",
      minute: 10,
    });
    expect(wrong.body.errors[0].pointer).toBe("/protocol");
  });
});

describe("hormones", () => {
  it("a pergolide change opens a blood task in 4 to 6 weeks; above 4 µg/kg asks for the clinical lead (UK and EU data sheets; 21 CFR 520.1705)", async () => {
    const horse = await addAnimal(service, { name: "Pergolide" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    const course = await signedCourse(
      team.vet,
      horse,
      courseOf("pergolide", "pergolide-tablet-1mg", "2026-10-15", [
        { toDay: 60, doseMg: 1, timesLocal: ["08:00"] },
        { fromDay: 61, toDay: 180, doseMg: 1.5, timesLocal: ["08:00"] },
      ]),
    );
    const { items } = (await team.vet.get(`/horses/${horse}/monitoring-tasks`)).body;
    const titrations = items.filter((one: { key: string }) => one.key.includes("titration"));
    // 2026-10-15 + 28 and + 42 days; day 61 is 2026-12-14, + 28 and + 42 days.
    expect(
      titrations.map((one: { opensOn: string; dueOn: string }) => [one.opensOn, one.dueOn]),
    ).toEqual([
      ["2026-11-12", "2026-11-26"],
      ["2027-01-11", "2027-01-25"],
    ]);
    expect(titrations[0]).toMatchObject({ courseId: course.id, tests: ["ACTH"], state: "later" });
    const plan = (doseMg: number) =>
      team.vet.send("post", `/horses/${horse}/pergolide-plans`, { doseMg, on: "2026-10-15" });
    expect((await plan(2)).body).toMatchObject({ needs: "vet", usMaxMg: 2, startMg: 1 });
    expect((await plan(2.5)).body.needs).toBe("clinical lead");
    expect((await plan(5.5)).body.needs).toBe("refused");
  });

  it("an SGLT2 inhibitor's own recheck day becomes a task (Vet Record 2024;195:253)", async () => {
    const horse = await addAnimal(service, { name: "Gliflozin" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    for (const [test, value, unit] of [
      ["triglycerides", 0.4, "mmol/L"],
      ["GGT", 20, "U/L"],
      ["creatinine", 110, "µmol/L"],
    ] as const)
      // oxlint-disable-next-line no-await-in-loop
      await enterResult(team.vet, horse, { takenOn: TODAY, test, value, unit });
    const formulary = await team.vet.get("/formulary");
    const drug = formulary.body.drugs.find((one: { key: string }) => one.key === "ertugliflozin");
    const draft = await team.vet.send(
      "post",
      `/horses/${horse}/courses`,
      courseOf(
        "ertugliflozin",
        drug.presentations[0].key,
        "2026-10-15",
        [{ toDay: 30, doseMg: 25, timesLocal: ["08:00"] }],
        { recheckOn: "2026-10-28" },
      ),
    );
    expect(draft.status).toBe(201);
    const without = await team.vet.send("post", `/courses/${draft.body.id}/signature`, {}, 1);
    expect(without.status).toBe(422);
    const overrides = rulesOf(draft.body, "warn").map((rule) => ({
      rule,
      reason: "diet has failed for three months",
    }));
    const signed = await team.vet.send(
      "post",
      `/courses/${draft.body.id}/signature`,
      { overrides },
      1,
    );
    expect(signed.status).toBe(200);
    const { items } = (await team.vet.get(`/horses/${horse}/monitoring-tasks`)).body;
    expect(
      items.find((one: { key: string }) => one.key === `course/${draft.body.id}/recheck/2026-10-28`)
        .tests,
    ).toEqual(expect.arrayContaining(["triglycerides", "creatinine"]));
  });

  it("a steroid in a horse with high insulin asks for a reason and opens a 14-day watch (2023 ACVIM abstract on dexamethasone and insulin; 14 days: house rule)", async () => {
    const horse = await addAnimal(service, { name: "Steroid" });
    await enterResult(team.vet, horse, {
      takenOn: TODAY,
      test: "insulin",
      value: 132,
      unit: "µIU/mL",
      assay: "chemiluminescent, as in Knowles 2023",
      feeding: "hay only",
    });
    const give = (more: object) =>
      team.vet.send("post", `/horses/${horse}/other-medicines`, {
        name: "dexamethasone",
        class: "corticosteroid",
        route: "intravenous",
        givenAt: "2026-10-14T12:00:00+01:00",
        givenBy: "Vera Vet",
        ...more,
      });
    const asked = await give({});
    expect(asked.status).toBe(422);
    expect(asked.body.findings[0]).toMatchObject({
      rule: "metabolic/steroid@1",
      field: "/reason",
    });
    const given = await give({ reason: "Anaphylaxis; no other choice" });
    expect(given.status).toBe(201);
    expect(given.body.watchUntil).toBe("2026-10-28");
    const queue = (await team.carer.get("/queue")).body.items;
    expect(
      queue.filter(
        (one: { kind: string; horse: { id: string } }) =>
          one.kind === "monitoring due" && one.horse.id === horse,
      ),
    ).toHaveLength(1);
  });

  it("the first of August opens an ACTH task for every PPID horse, and an ACTH result closes it (seasonal rise: PubMed 40749730)", async () => {
    const ppid = await Promise.all(["Ash", "Birch"].map((name) => addAnimal(service, { name })));
    const sound = await addAnimal(service, { name: "Cedar" });
    await service.query("UPDATE horses SET conditions = '{PPID}' WHERE id = ANY ($1)", [ppid]);
    const on = async (day: string) =>
      (await team.manager.get(`/season-look-ahead?on=${day}`)).body.items
        .filter((one: { key: string }) => one.key.startsWith("season/autumn ACTH"))
        .map((one: { horse: { id: string } }) => one.horse.id)
        .toSorted();
    expect(await on("2027-07-31")).toEqual([]);
    expect(await on("2027-08-01")).toEqual([...ppid].toSorted());
    expect(await on("2027-08-01")).not.toContain(sound);
    const ahead = await team.manager.get("/season-look-ahead?on=2027-07-31");
    expect(ahead.body.nextHormoneSeasonOn).toBe("2027-08-01");
    // The season of 2026 is still open in October: a result of this autumn closes it.
    const state = async (horse: string) =>
      (await team.vet.get(`/horses/${horse}/monitoring-tasks`)).body.items.find(
        (one: { key: string }) => one.key === "season/autumn ACTH/2026",
      )?.state;
    expect(await state(ppid[0] ?? "")).toBe("late");
    await enterResult(team.vet, ppid[0] ?? "", {
      takenOn: "2026-09-20",
      test: "ACTH",
      value: 55,
      unit: "pg/mL",
      assay: "chemiluminescent",
    });
    expect(await state(ppid[0] ?? "")).toBe("done");
  });
});

describe("recovery", () => {
  it("two points up within 24 hours on the five-sign score tell the vet (house rule on a 12-point scale)", async () => {
    const horse = await addAnimal(service, { name: "Score" });
    await openCase(horse);
    expect((await check(horse, 3, "2026-10-14T09:00:00+01:00")).status).toBe(201);
    const risen = await check(horse, 5, "2026-10-14T12:30:00+01:00");
    expect(risen.status).toBe(201);
    expect(risen.body.findings.some((one: { outcome: string }) => one.outcome === "warn")).toBe(
      true,
    );
  });

  it("one red flag from the yard holds what runs and stands first on the vet's queue", async () => {
    const horse = await addAnimal(service, { name: "Flag" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    await openCase(horse);
    const course = await signedCourse(
      team.vet,
      horse,
      courseOf(...BUTE_PASTE, "2026-10-15", [{ toDay: 3, doseMg: 1000, timesLocal: ["20:00"] }]),
    );
    const flag = await team.carer.send("post", `/horses/${horse}/care-checks`, {
      examinedAt: "2026-10-14T12:50:00+01:00",
      signs: ["colic"],
    });
    expect(flag.body.heldCourseIds).toEqual([course.id]);
    const items = (await team.vet.get("/queue")).body.items as {
      kind: string;
      horse: { id: string };
    }[];
    const flags = items.filter((one) => one.kind === "red flag call");
    expect(flags.map((one) => one.horse.id)).toContain(horse);
    expect(items.slice(0, flags.length)).toEqual(flags);
  });

  it("scores that fall too slowly ask for a rethink on day 14, not on day 13 (median 8 to 0 by day 25, one case in four slow)", async () => {
    const horse = await addAnimal(service, { name: "Slow" });
    const caseId = await openCase(horse);
    const score = (day: number, value: number) =>
      service.query(
        `INSERT INTO examinations (practice_id, id, horse_id, case_id, kind, examined_at, examined_by, five_sign_score)
         VALUES ($1, gen_random_uuid(), $2, $3, 'care check', $4::timestamptz, $5, $6)`,
        [
          service.practiceId,
          horse,
          caseId,
          `2026-${day < 1 ? "09-30" : `10-${String(day).padStart(2, "0")}`}T08:00:00+01:00`,
          service.carer.id,
          value,
        ],
      );
    const curve = async () => (await team.vet.get(`/cases/${caseId}/healing-curve`)).body;
    await score(0, 8);
    await score(5, 8);
    await score(13, 7);
    expect(await curve()).toMatchObject({ day: 13, slow: false, rethink: false, prompt: null });
    await score(14, 7);
    const slow = await curve();
    expect(slow).toMatchObject({ day: 14, slow: true, rethink: true });
    expect(slow.prompt).toContain("Slower than the typical course");
    const queue = (await team.vet.get("/queue")).body.items;
    expect(
      queue.some(
        (one: { title: string; horse: { id: string } }) =>
          one.horse.id === horse && one.title === "Slow case: think again",
      ),
    ).toBe(true);
  });

  it("the ice log shows a gap over two hours, the hours of the last 24 and a hoof that was not cold (Kullmann et al. 2014; hoof under 10 °C)", async () => {
    const horse = await addAnimal(service, { name: "Ice" });
    const ice = (fromAt: string, toAt: string, more: object = {}) =>
      team.carer.send("post", `/horses/${horse}/ice-entries`, {
        fromAt: `2026-10-${fromAt}:00+01:00`,
        toAt: `2026-10-${toAt}:00+01:00`,
        feet: ["LF", "RF"],
        ...more,
      });
    expect((await ice("13T12:00", "13T20:00")).status).toBe(201);
    expect((await ice("13T22:00", "14T06:00")).status).toBe(201);
    expect((await ice("14T08:30", "14T12:00", { hoofCelsius: 10 })).status).toBe(201);
    const log = (await team.vet.get(`/horses/${horse}/ice-log`)).body;
    expect(log.gaps).toEqual([
      {
        fromAt: "2026-10-14T05:00:00.000Z",
        toAt: "2026-10-14T07:30:00.000Z",
        hours: 2.5,
      },
    ]);
    expect(log.totalHours).toBe(19.5);
    // Since 13:00 yesterday: 7 + 8 + 3.5 hours.
    expect(log.hoursLast24).toBe(18.5);
    expect(log.hoursByDay).toEqual([
      { on: "2026-10-13", hours: 10 },
      { on: "2026-10-14", hours: 9.5 },
    ]);
    expect(log.warmReadings).toHaveLength(1);
  });

  it("262 kg at 1.5 % gives 4.6 kg as fed at 85 % dry; never under 1 %, no grass in the active phase (restriction trial 2010)", async () => {
    const pony = await addAnimal(service, { name: "Hay", type: "pony", heightCm: 120 });
    await weighedBefore(service, pony, 262, "2026-10-13T08:00:00+01:00");
    await openCase(pony);
    const ration = (more: object = {}) => ({
      dryMatterPercent: 1.5,
      forage: "hay",
      dryShare: 0.85,
      grazing: false,
      ...more,
    });
    const card = await team.carer.send("post", `/horses/${pony}/feeding-checks`, ration());
    expect(card.status).toBe(200);
    // 262 × 0.015 / 0.85 = 4.62 kg.
    expect(card.body.plan.asFedKg).toBeCloseTo(4.62, 2);
    const sign = (more: object) =>
      team.vet.send("post", `/horses/${pony}/feeding-plans`, ration(more));
    expect((await sign({ dryMatterPercent: 0.99 })).status).toBe(422);
    expect(
      (await sign({ grazing: true })).body.findings.map((one: { rule: string }) => one.rule),
    ).toContain("metabolic/no-grazing@1");
    const low = await team.carer.send(
      "post",
      `/horses/${pony}/feeding-checks`,
      ration({ dryMatterPercent: 1.25 }),
    );
    expect(low.body).toMatchObject({ allowed: false, plan: null });
    const signed = await sign({ dryMatterPercent: 1.25, soakHours: 8, targetWeightKg: 240 });
    expect(signed.status).toBe(201);
    await service.query(
      "INSERT INTO horse_people (practice_id, horse_id, person_id) VALUES ($1, $2, $3)",
      [service.practiceId, pony, service.owner.id],
    );
    const owner = await signInAgain(service, service.owner);
    expect((await owner.get(`/horses/${pony}/feeding-plan`)).body).toMatchObject({
      id: signed.body.id,
      dryMatterPercent: 1.25,
      activePhase: true,
    });
    const again = await sign({ dryMatterPercent: 1.5 });
    expect(again.status).toBe(201);
    expect((await team.carer.get(`/horses/${pony}/feeding-plan`)).body.id).toBe(again.body.id);
    expect(
      await service.query(
        "SELECT count(*)::int AS n FROM feeding_plans WHERE horse_id = $1 AND ended_at IS NULL",
        [pony],
      ),
    ).toEqual([{ n: 1 }]);
  });

  it("0.6 % a week lies inside the band, and 438 to 385 kg, −12.1 %, shows red (0.5 to 1 % a week: trade press; 10 % holds doses: house rule)", async () => {
    const mare = await addAnimal(service, { name: "Tansy", heightCm: 148 });
    await weighedBefore(service, mare, 438, "2026-05-11T08:00:00+01:00");
    await weighedBefore(service, mare, 385, "2026-09-14T08:00:00+01:00");
    const curve = async (horse: string) =>
      (await team.vet.get(`/horses/${horse}/weight-curve`)).body;
    const last = (await curve(mare)).points.at(-1);
    expect(last).toMatchObject({ level: "red" });
    expect(last.changePercent).toBeCloseTo(-12.1, 1);
    const slim = await addAnimal(service, { name: "Slim" });
    await weighedBefore(service, slim, 500, "2026-09-16T08:00:00+01:00");
    await weighedBefore(service, slim, 488, "2026-10-14T08:00:00+01:00");
    // 12 kg of 500 in four weeks: 2.4 % / 4 = 0.6 % a week.
    expect((await curve(slim)).points.at(-1)).toMatchObject({
      band: "inside the band",
      level: "none",
    });
    expect((await curve(slim)).points.at(-1).lossPercentPerWeek).toBeCloseTo(0.6, 6);
  });

  it("one ladder lives at a time, days on painkillers and three days after do not count, and the yard may only step back (label: effect at least 3 days; house rule)", async () => {
    const horse = await addAnimal(service, { name: "Ladder" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    await openCase(horse);
    const start = () => team.vet.send("post", `/horses/${horse}/movement-ladders`, {});
    const ladder = await start();
    expect(ladder.status).toBe(201);
    expect((await start()).status).toBe(409);
    const dose = await team.vet.send("post", `/horses/${horse}/doses`, {
      drugKey: "phenylbutazone",
      route: "oral",
      doseMg: 1000,
      givenAt: "2026-10-14T12:00:00+01:00",
      reason: "sore after the trim",
    });
    expect(dose.status).toBe(201);
    const at = async (instant: string) => {
      team = await atTime(service, instant);
      return (await team.carer.get(`/horses/${horse}/movement-ladder`)).body;
    };
    // Day of the dose and three days after: the first day that counts is the 18th.
    expect(await at("2026-10-20T09:00:00+01:00")).toMatchObject({ countedDays: 2 });
    expect(await at("2026-10-31T09:00:00+00:00")).toMatchObject({
      countedDays: 13,
      mayMoveUp: false,
    });
    const move = (way: string, version: number, person = team.vet) =>
      person.send(
        "post",
        `/movement-ladders/${ladder.body.id}/moves`,
        { move: way, reason: "walks level" },
        version,
      );
    expect((await move("up", 1)).status).toBe(409);
    expect(await at("2026-11-01T09:00:00+00:00")).toMatchObject({
      countedDays: 14,
      mayMoveUp: true,
    });
    expect((await move("up", 1, team.carer)).status).toBe(403);
    const up = await move("up", 1);
    expect(up.body).toMatchObject({ stageIndex: 1, stageSince: "2026-11-01" });
    const back = await move("back", 2, team.carer);
    expect(back.body).toMatchObject({ stageIndex: 0 });
    expect(back.body.moves).toHaveLength(2);
  });
});
