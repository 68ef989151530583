import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  addAnimal,
  BUTE_PASTE,
  courseOf,
  signedCourse,
  weighedBefore,
} from "../support/medicine.ts";
import { startTestService, type TestService } from "../support/service.ts";

let service: TestService;
beforeAll(async () => {
  service = await startTestService();
});
afterAll(async () => {
  await service.close();
});

const enter = (horse: string, result: object) =>
  service.vet.send("post", `/horses/${horse}/lab-results`, {
    takenOn: "2026-10-13",
    ...result,
  });

describe("laboratory results", () => {
  it("reads ACTH against the laboratory's own cut-off of the week, in the laboratory's unit", async () => {
    const above = await enter(service.horseId, {
      test: "ACTH",
      value: 88,
      unit: "pg/mL",
      cutoff: 45,
    });
    expect(above.status).toBe(201);
    expect(above.body).toMatchObject({ reading: "above the cut-off", readAt: null });
    // 1 pg/mL of ACTH is 0.2202 pmol/L (AMA table, from memory): both sides of the comparison move.
    const molar = await enter(service.horseId, {
      test: "ACTH",
      value: 88 * 0.2202,
      unit: "pmol/L",
      cutoff: 100 * 0.2202,
    });
    expect(molar.body.reading).toBe("below the cut-off");
  });

  it("shows an insulin band only for its own method and only on hay (Knowles et al. 2023)", async () => {
    const insulin = (value: number, more: object = {}) =>
      enter(service.horseId, {
        test: "insulin",
        value,
        unit: "µIU/mL",
        assay: "chemiluminescent, as in Knowles 2023",
        feeding: "hay only",
        ...more,
      });
    expect((await insulin(132)).body.reading).toBe("high");
    expect((await insulin(34)).body.reading).toBe("middle");
    expect((await insulin(18)).body.reading).toBe("low");
    expect((await insulin(132, { assay: "another" })).body.reading).toBeNull();
    expect((await insulin(132, { feeding: "fasted" })).body.reading).toBeNull();
    // 45.2 µIU/mL is 271.2 pmol/L at 6.00 (Knopp et al. 2019).
    expect((await insulin(272, { unit: "pmol/L" })).body.reading).toBe("high");
    expect((await insulin(271, { unit: "pmol/L" })).body.reading).toBe("middle");
  });

  it("asks a unit back that cannot be right, and a range that stands on its head", async () => {
    const odd = await enter(service.horseId, { test: "creatinine", value: 1.2, unit: "µmol/L" });
    expect(odd.status).toBe(422);
    expect(odd.body.findings[0].field).toBe("/unit");
    const range = await enter(service.horseId, {
      test: "lactate",
      value: 4.1,
      unit: "mmol/L",
      rangeLow: 2,
      rangeHigh: 1,
    });
    expect(range.body.errors[0].pointer).toBe("/rangeHigh");
    const future = await enter(service.horseId, {
      takenOn: "2026-10-15",
      test: "lactate",
      value: 4.1,
      unit: "mmol/L",
    });
    expect(future.body.errors[0].pointer).toBe("/takenOn");
  });

  it("holds anti-inflammatories at once when creatinine is up 26.5 µmol/L on the horse's own first (SAEVA 2015)", async () => {
    const horse = await addAnimal(service, { name: "Kidneys" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    const bute = await signedCourse(
      service.vet,
      horse,
      courseOf(...BUTE_PASTE, "2026-10-14", [{ toDay: 3, doseMg: 1000, timesLocal: ["20:00"] }]),
    );
    const pergolide = await signedCourse(
      service.vet,
      horse,
      courseOf("pergolide", "pergolide-tablet-1mg", "2026-10-14", [
        { toDay: 30, doseMg: 1, timesLocal: ["08:00"] },
      ]),
    );
    const creatinine = (value: number, takenOn: string) =>
      enter(horse, { test: "creatinine", value, unit: "µmol/L", takenOn });
    expect((await creatinine(110, "2026-10-01")).body.heldCourseIds).toEqual([]);
    expect((await creatinine(136.4, "2026-10-12")).body.heldCourseIds).toEqual([]);
    const risen = await creatinine(136.5, "2026-10-13");
    expect(risen.body).toMatchObject({ reading: "red", heldCourseIds: [bute.id] });
    expect((await service.vet.get(`/courses/${bute.id}`)).body.status).toBe("held");
    expect((await service.vet.get(`/courses/${pergolide.id}`)).body.status).toBe("signed");
  });

  it("is shown to the owner only when a vet has read it and lets it go, and never taken back", async () => {
    const entered = await service.manager.send("post", `/horses/${service.horseId}/lab-results`, {
      takenOn: "2026-10-12",
      test: "triglycerides",
      value: 0.9,
      unit: "mmol/L",
      rangeLow: 0.1,
      rangeHigh: 0.8,
    });
    expect(entered.status).toBe(201);
    expect(JSON.stringify(entered.body.findings)).toContain("Above the laboratory's range");
    const read = (body: object, version: number) =>
      service.vet.send("post", `/lab-results/${entered.body.id}/reading`, body, version);
    const first = await read({ release: false }, 1);
    expect(first.body).toMatchObject({
      readBy: { id: service.vet.id },
      releasedAt: null,
      version: 2,
    });
    expect((await read({ release: false }, 2)).status).toBe(409);
    expect((await read({ release: true }, 1)).status).toBe(412);
    const released = await read({ release: true, words: "Blood fats are fine." }, 2);
    expect(released.body.releasedAt).not.toBeNull();
    expect((await read({ release: true }, 3)).status).toBe(409);
    const lines = await service.query(
      "SELECT for_owner FROM case_events WHERE ref_id = $1 AND for_owner IS NOT NULL",
      [entered.body.id],
    );
    expect(lines).toEqual([{ for_owner: "Blood fats are fine." }]);
  });

  it("lists the latest sample first, page by page, for vets alone", async () => {
    const all = await service.vet.get(`/horses/${service.horseId}/lab-results`);
    const days = all.body.items.map((one: { takenOn: string }) => one.takenOn);
    expect(days).toEqual(days.toSorted().toReversed());
    const first = await service.vet.get(`/horses/${service.horseId}/lab-results?limit=2`);
    const second = await service.vet.get(
      `/horses/${service.horseId}/lab-results?limit=2&cursor=${first.body.nextCursor}`,
    );
    expect([...first.body.items, ...second.body.items]).toEqual(all.body.items.slice(0, 4));
    for (const person of [service.farrier, service.carer, service.owner, service.manager])
      expect((await person.get(`/horses/${service.horseId}/lab-results`)).status).toBe(403);
  });
});
