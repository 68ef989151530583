import {
  PRESCRIPTION_FIELDS,
  requiredPrescriptionFields,
  type Jurisdiction,
} from "@heelward/domain/medication";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  addAnimal,
  atTime,
  courseOf,
  signedCourse,
  weighedBefore,
  type Team,
} from "../support/medicine.ts";
import { toolFolder, toolSays } from "../support/outside-tools.ts";
import { startTestService, type TestService } from "../support/service.ts";

/** The paper of each jurisdiction, read back by poppler: every field its law asks for, with its text. */
let service: TestService;
let team: Team;
const folder = toolFolder();
beforeAll(async () => {
  service = await startTestService();
  team = await atTime(service, "2026-10-14T09:50:00+01:00");
  await service.query(
    "UPDATE practices SET postal_address = '4 Mill Quay, Testtown' WHERE id = $1",
    [service.practiceId],
  );
});
afterAll(async () => {
  folder.remove();
  await service.close();
});

const letters = (text: string): string => text.replaceAll(/[\s-]+/gu, "");
const CASES: readonly {
  readonly jurisdiction: Jurisdiction;
  readonly drug: readonly [string, string];
  readonly doseMg: number;
  readonly lastOn: string;
  readonly law: string;
}[] = [
  {
    jurisdiction: "UK",
    drug: ["phenylbutazone", "phenylbutazone-powder-1g"],
    doseMg: 1000,
    lastOn: "2027-04-14",
    law: "Veterinary Medicines Regulations 2013, schedule 3 paragraph 6: six months",
  },
  {
    jurisdiction: "EU",
    drug: ["meloxicam", "meloxicam-suspension-15mg-ml"],
    doseMg: 300,
    lastOn: "2027-10-14",
    law: "Regulation (EU) 2019/6 article 105(5), recalled: a year at most",
  },
  {
    jurisdiction: "US",
    drug: ["phenylbutazone", "phenylbutazone-tablet-1g"],
    doseMg: 1000,
    lastOn: "2027-10-14",
    law: "21 CFR 530.12, label of a medicine used off its label",
  },
];

describe("the legal fields on paper", () => {
  it.each(CASES)(
    "$jurisdiction: the printed prescription carries every one ($law)",
    async ({ jurisdiction, drug, doseMg, lastOn }) => {
      await service.query("UPDATE practices SET jurisdiction = $1 WHERE id = $2", [
        jurisdiction,
        service.practiceId,
      ]);
      const horse = await addAnimal(service, { name: `Paper ${jurisdiction}` });
      await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
      const course = await signedCourse(
        team.vet,
        horse,
        courseOf(drug[0], drug[1], "2026-10-14", [
          { fromDay: 1, toDay: 3, doseMg, timesLocal: ["10:00"] },
        ]),
      );
      const issued = await team.vet.send("post", `/courses/${course.id}/written-prescriptions`, {
        prescriberQualifications: "MVB",
        keeperName: "Odo Owner",
        keeperAddress: "2 Test Lane, Testtown",
        keeperContact: "+353 1 000 0001",
        cascadeReason: "no licensed product fits this animal",
        repeats: jurisdiction === "UK" ? 1 : 0,
      });
      expect(issued.status, issued.text).toBe(201);
      expect(issued.body.lastOn).toBe(lastOn);
      const answer = await team.vet
        .get(`/written-prescriptions/${issued.body.id}/document.pdf`)
        .buffer(true)
        .parse((res, done) => {
          const chunks: Buffer[] = [];
          res.on("data", (chunk: Buffer) => chunks.push(chunk));
          res.on("end", () => done(null, Buffer.concat(chunks)));
        });
      const file = folder.write(`${jurisdiction}.pdf`, answer.body as Buffer);
      const said = letters(toolSays("pdftotext", file, "-"));
      const texts = new Map(
        (issued.body.fields as { field: string; text: string }[]).map((one) => [
          one.field,
          one.text,
        ]),
      );
      const { controlled, ...kind } = issued.body.kind;
      const required = requiredPrescriptionFields({ ...kind, controlled: controlled ?? undefined });
      expect(required.length).toBeGreaterThanOrEqual(10);
      for (const { field } of required) {
        expect(said, field).toContain(letters(PRESCRIPTION_FIELDS[field]));
        expect(texts.get(field)?.length ?? 0, field).toBeGreaterThan(0);
        expect(said, field).toContain(letters(texts.get(field) ?? ""));
      }
      expect(said).toContain("4MillQuay,Testtown");
    },
  );
});
