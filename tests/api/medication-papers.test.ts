import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  addAnimal,
  atTime,
  BUTE_SACHETS,
  courseOf,
  signedCourse,
  weighedBefore,
  type Team,
} from "../support/medicine.ts";
import { toolFolder, toolSays } from "../support/outside-tools.ts";
import { startTestService, type TestService } from "../support/service.ts";

let service: TestService;
let team: Team;
const folder = toolFolder();
beforeAll(async () => {
  service = await startTestService();
  team = await atTime(service, "2026-10-14T09:50:00+01:00");
});
afterAll(async () => {
  folder.remove();
  await service.close();
});

const TODAY = "2026-10-14";
const FULL = {
  prescriberAddress: "1 Test Street, Testtown",
  prescriberQualifications: "MVB",
  keeperName: "Odo Owner",
  keeperAddress: "2 Test Lane, Testtown",
  cascadeReason: "no licensed product fits this animal",
};
const plain = (text: string): string => text.replaceAll(/\s+/g, " ");
const bytesOf = async (person: Team["vet"], path: string) => {
  const answer = await person
    .get(path)
    .buffer(true)
    .parse((res, done) => {
      const chunks: Buffer[] = [];
      res.on("data", (chunk: Buffer) => chunks.push(chunk));
      res.on("end", () => done(null, Buffer.concat(chunks)));
    });
  return { status: answer.status, type: answer.type, bytes: answer.body as Buffer };
};
const buteCourse = async (name: string, more: object = {}) => {
  const horse = await addAnimal(service, { name });
  await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
  const course = await signedCourse(
    team.vet,
    horse,
    courseOf(
      ...BUTE_SACHETS,
      TODAY,
      [
        { doseMg: 2000, timesLocal: ["10:00", "22:00"] },
        { fromDay: 2, toDay: 5, doseMg: 1000, timesLocal: ["10:00", "22:00"] },
      ],
      more,
    ),
  );
  return { horse, course };
};

describe("a written prescription", () => {
  it("is refused with every missing legal field named, and nothing is stored (Veterinary Medicines Regulations 2013, schedule 3 paragraph 6)", async () => {
    const { horse, course } = await buteCourse("Missing");
    const refused = await team.vet.send("post", `/courses/${course.id}/written-prescriptions`, {});
    expect(refused.status).toBe(400);
    expect(refused.body.errors.map((one: { pointer: string }) => one.pointer)).toEqual([
      "/prescriberAddress",
      "/prescriberQualifications",
      "/keeperName",
      "/keeperAddress",
    ]);
    expect(refused.body.detail).toContain("qualifications");
    const listed = await team.vet.get(`/horses/${horse}/written-prescriptions`);
    expect(listed.body.items).toEqual([]);
    const checked = await team.vet.send(
      "post",
      `/courses/${course.id}/written-prescription-checks`,
      FULL,
    );
    expect(checked.body).toMatchObject({ missing: [], lastOn: "2027-04-14" });
  });

  it("printed, says word for word what was signed, read back by poppler, and its code leads to the case, read back by zbar", async () => {
    const { horse, course } = await buteCourse("Printed");
    await service.query("UPDATE horses SET microchip = '372098100123456' WHERE id = $1", [horse]);
    const issued = await team.vet.send("post", `/courses/${course.id}/written-prescriptions`, FULL);
    expect(issued.status).toBe(201);
    // UK: six months from the day of issue.
    expect(issued.body).toMatchObject({ issuedOn: TODAY, lastOn: "2027-04-14", repeats: 0 });
    const page = await bytesOf(team.vet, `/written-prescriptions/${issued.body.id}/document.pdf`);
    expect(page).toMatchObject({ status: 200, type: "application/pdf" });
    const file = folder.write("prescription.pdf", page.bytes);
    const said = plain(toolSays("pdftotext", file, "-"));
    // Poppler takes a hyphen at the end of a line for one of the typesetter's; so both go without.
    const letters = (text: string): string => text.replaceAll(/[\s-]+/g, "");
    for (const { label, text } of issued.body.fields as { label: string; text: string }[]) {
      expect(letters(said)).toContain(letters(label));
      expect(letters(said)).toContain(letters(text));
    }
    expect(said).toContain("microchip 372098100123456");
    expect(said).toContain("Excluded from the food chain for good");
    expect(said.replaceAll(" ", "")).toContain(issued.body.signature);
    expect(toolSays("pdffonts", file)).not.toMatch(/\bno\b\s+(?:yes|no)\s+(?:yes|no)\s+\d/u);
    expect(toolSays("qpdf", "--check", file)).toContain("No syntax or stream encoding errors");
    toolSays("pdftoppm", "-r", "200", "-png", file, folder.path("page"));
    const code = toolSays("sh", "-c", `zbarimg -q --nodbus --raw ${folder.path("page")}*.png`);
    expect(code.trim()).toMatch(new RegExp(`/horses/${horse}$`, "u"));
    expect(letters(said)).toContain(letters(code));
  });

  it("of a controlled drug carries declaration, number and the quantity in words and figures, lives 28 days and is never repeated (Misuse of Drugs Regulations 2001, regulation 15)", async () => {
    const { course } = await buteCourse("Controlled");
    const write = (more: object) =>
      team.vet.send("post", `/courses/${course.id}/written-prescriptions`, {
        ...FULL,
        controlled: "schedule 3",
        ...more,
      });
    const undeclared = await write({});
    expect(undeclared.body.errors.map((one: { pointer: string }) => one.pointer)).toEqual([
      "/declaresUnderCare",
    ]);
    expect((await write({ declaresUnderCare: true, repeats: 1 })).status).toBe(422);
    const issued = await write({ declaresUnderCare: true });
    expect(issued.status).toBe(201);
    expect(issued.body.lastOn).toBe("2026-11-11");
    const text = (field: string) =>
      issued.body.fields.find((one: { field: string }) => one.field === field)?.text;
    // 2 × 2,000 mg and 4 × 2 × 1,000 mg of sachets of 1 g: 12 sachets, 12,000 mg.
    expect(text("quantityInWordsAndFigures")).toBe(
      "twelve (12 sachets); twelve thousand milligrams (12000 mg)",
    );
    expect(text("prescriberNumber")).toBe("REG-8");
    expect(text("underCareDeclaration")).toContain("under my care");
  });

  it("is supplied inside its time and as often as it says, and not once more", async () => {
    const { course } = await buteCourse("Supplied");
    const issued = await team.vet.send("post", `/courses/${course.id}/written-prescriptions`, {
      ...FULL,
      repeats: 1,
      validDays: 3,
    });
    expect(issued.body.lastOn).toBe("2026-10-17");
    const supply = (more: object = {}) =>
      team.manager.send("post", `/written-prescriptions/${issued.body.id}/supplies`, {
        suppliedOn: TODAY,
        quantity: "6 sachets",
        batch: "LOT-7",
        ...more,
      });
    expect((await supply({ suppliedOn: "2026-10-13" })).status).toBe(422);
    expect((await supply({ suppliedOn: "2026-10-15" })).status).toBe(400);
    const [first, second, third] = [await supply(), await supply(), await supply()];
    expect([first.status, second.status, third.status]).toEqual([201, 201, 422]);
    expect(second.body.supplies).toEqual([
      expect.objectContaining({ number: 1, batch: "LOT-7" }),
      expect.objectContaining({ number: 2 }),
    ]);
    team = await atTime(service, "2026-10-18T09:00:00+01:00");
    expect((await supply({ suppliedOn: "2026-10-18" })).status).toBe(422);
  });

  it("is written only for a signed course that runs, and neither yard nor farrier nor owner may read it", async () => {
    const horse = await addAnimal(service, { name: "Draft" });
    await weighedBefore(service, horse, 500, "2026-10-17T08:00:00+01:00");
    const draft = await team.vet.send(
      "post",
      `/horses/${horse}/courses`,
      courseOf(...BUTE_SACHETS, "2026-10-19", [{ doseMg: 1000, timesLocal: ["10:00"] }]),
    );
    const path = `/courses/${draft.body.id}/written-prescriptions`;
    expect((await team.vet.send("post", path, FULL)).status).toBe(409);
    expect((await team.carer.send("post", path, FULL)).status).toBe(403);
    expect((await team.carer.get(`/horses/${horse}/written-prescriptions`)).status).toBe(403);
  });
});

describe("the medicine record", () => {
  it("lists product, dose, time, who and batch of one horse and period, as a table and on paper, and no cell is a formula (OWASP on CSV injection)", async () => {
    const horse = await addAnimal(service, { name: "=Record" });
    await weighedBefore(service, horse, 500, "2026-10-15T08:00:00+01:00");
    const give = (givenAt: string, more: object) =>
      team.vet.send("post", `/horses/${horse}/doses`, {
        drugKey: "phenylbutazone",
        presentationKey: "phenylbutazone-powder-1g",
        route: "oral",
        doseMg: 1000,
        givenAt,
        ...more,
      });
    expect((await give("2026-10-16T09:00:00+01:00", { batch: "A-1", reason: "+cmd" })).status).toBe(
      201,
    );
    expect((await give("2026-10-18T08:00:00+01:00", { batch: "=1+2" })).status).toBe(201);
    const other = await team.vet.send("post", `/horses/${horse}/other-medicines`, {
      name: "detomidine",
      class: "sedative",
      route: "intravenous",
      amount: "0.5 ml",
      batch: "S-9",
      givenAt: "2026-10-18T08:30:00+01:00",
      givenBy: "A hospital vet",
    });
    expect(other.status).toBe(201);
    const csv = async (query: string) =>
      (await bytesOf(team.vet, `/horses/${horse}/medicine-record.csv${query}`)).bytes
        .toString("utf8")
        .split("\r\n")
        .filter((line) => line !== "");
    const all = await csv("");
    expect(all).toHaveLength(4);
    expect(all[1]).toContain("'=Record");
    expect(all[1]).toContain("A-1,'+cmd");
    expect(all[2]).toContain("'=1+2");
    expect(all[3]).toContain("detomidine (sedative)");
    expect(all.join("\n")).not.toMatch(/(?:^|,)"?[=+@]/mu);
    expect(await csv("?from=2026-10-18")).toHaveLength(3);
    expect(await csv("?to=2026-10-17")).toHaveLength(2);
    const page = await bytesOf(team.vet, `/horses/${horse}/medicine-record.pdf?to=2026-10-17`);
    const said = plain(toolSays("pdftotext", folder.write("record.pdf", page.bytes), "-"));
    expect(said).toContain("A-1");
    expect(said).not.toContain("detomidine");
    const bad = await team.vet.get(
      `/horses/${horse}/medicine-record.csv?from=2026-10-18&to=2026-10-17`,
    );
    expect(bad.status).toBe(400);
    expect((await team.carer.get(`/horses/${horse}/medicine-record.csv`)).status).toBe(403);
  });
});

describe("medicines from elsewhere and new conditions", () => {
  it("hold what they forbid: kidneys at risk and renal disease stop an anti-inflammatory that runs, and nothing else (UK data sheets)", async () => {
    const { horse, course } = await (async () => {
      const animal = await addAnimal(service, { name: "Condition" });
      await weighedBefore(service, animal, 500, "2026-10-17T08:00:00+01:00");
      return {
        horse: animal,
        course: await signedCourse(
          team.vet,
          animal,
          courseOf(...BUTE_SACHETS, "2026-10-19", [
            { toDay: 3, doseMg: 1000, timesLocal: ["10:00"] },
          ]),
        ),
      };
    })();
    const pergolide = await signedCourse(
      team.vet,
      horse,
      courseOf("pergolide", "pergolide-tablet-1mg", "2026-10-19", [
        { toDay: 30, doseMg: 1, timesLocal: ["08:00"] },
      ]),
    );
    const { version } = (await team.vet.get(`/horses/${horse}`)).body;
    const harmless = await team.vet.send(
      "patch",
      `/horses/${horse}`,
      { conditions: ["sweet itch"] },
      version,
    );
    expect(harmless.status).toBe(200);
    const state = async (id: string) => (await team.vet.get(`/courses/${id}`)).body;
    expect((await state(course.id)).status).toBe("signed");
    const changed = await team.manager.send(
      "patch",
      `/horses/${horse}`,
      { conditions: ["sweet itch", "renal disease"] },
      version + 1,
    );
    expect(changed.status).toBe(200);
    const held = await state(course.id);
    expect(held.status).toBe("held");
    expect(held.hold.reason).toContain("renal disease");
    expect((await state(pergolide.id)).status).toBe("signed");
    // A manager is no vet: the vet is told.
    const notes = await team.vet.get("/handoff-notes");
    expect(JSON.stringify(notes.body.items)).toContain("is on hold");
  });

  it("a nephrotoxic medicine given elsewhere holds bute at once", async () => {
    const horse = await addAnimal(service, { name: "Kidney" });
    await weighedBefore(service, horse, 500, "2026-10-17T08:00:00+01:00");
    const course = await signedCourse(
      team.vet,
      horse,
      courseOf(...BUTE_SACHETS, "2026-10-19", [{ toDay: 3, doseMg: 1000, timesLocal: ["10:00"] }]),
    );
    const given = await team.vet.send("post", `/horses/${horse}/other-medicines`, {
      name: "gentamicin",
      class: "nephrotoxic",
      route: "intravenous",
      givenAt: "2026-10-18T08:30:00+01:00",
      givenBy: "A hospital vet",
    });
    expect(given.status).toBe(201);
    expect((await team.vet.get(`/courses/${course.id}`)).body).toMatchObject({
      status: "held",
      hold: { reason: expect.stringContaining("gentamicin") },
    });
    const listed = await team.carer.get(`/horses/${horse}/other-medicines`);
    expect(listed.body.items).toHaveLength(1);
  });

  it("a course that ran its time is finished in the record as well", async () => {
    const horse = await addAnimal(service, { name: "Over" });
    await weighedBefore(service, horse, 500, "2026-10-17T08:00:00+01:00");
    const course = await signedCourse(
      team.vet,
      horse,
      courseOf(...BUTE_SACHETS, "2026-10-18", [{ doseMg: 1000, timesLocal: ["10:00"] }]),
    );
    team = await atTime(service, "2026-10-19T09:00:00+01:00");
    // A dose sent late from the yard is still a dose of the plan.
    const late = await team.carer.send("post", `/courses/${course.id}/doses`, {
      scheduledAt: "2026-10-18T10:00:00+01:00",
      givenAt: "2026-10-18T10:05:00+01:00",
      outcome: "given",
    });
    expect(late.status).toBe(201);
    expect(
      await service.query("SELECT status FROM medication_courses WHERE id = $1", [course.id]),
    ).toEqual([{ status: "finished" }]);
    expect(
      (await team.vet.send("post", `/courses/${course.id}/stop`, { reason: "x" }, course.version))
        .status,
    ).toBe(409);
  });
});

describe("competition", () => {
  it("names the list and its date, gives no day while a medicine runs or has no figure, and says what a figure is not (federation announcement 2011: meloxicam 72 h)", async () => {
    const horse = await addAnimal(service, { name: "Sport" });
    await weighedBefore(service, horse, 500, "2026-10-17T08:00:00+01:00");
    const clear = async () => (await team.vet.get(`/horses/${horse}/competition-clear-times`)).body;
    expect(await clear()).toMatchObject({ items: [], earliestOn: "2026-10-19" });
    const dose = await team.vet.send("post", `/horses/${horse}/doses`, {
      drugKey: "meloxicam",
      route: "oral",
      doseMg: 300,
      givenAt: "2026-10-19T08:00:00+01:00",
    });
    expect(dose.status).toBe(201);
    const after = await clear();
    expect(after.items[0]).toMatchObject({
      clearFrom: "2026-10-22T07:00:00.000Z",
      clearOn: "2026-10-23",
      listDate: "2011",
      verified: true,
    });
    expect(after.earliestOn).toBe("2026-10-23");
    expect(after.caution).toContain("not withdrawal time");
    await signedCourse(
      team.vet,
      horse,
      courseOf("meloxicam", "meloxicam-suspension-15mg-ml", "2026-10-20", [
        { toDay: 2, doseMg: 300, timesLocal: ["09:00"] },
      ]),
    );
    expect((await clear()).earliestOn).toBeNull();
  });
});
