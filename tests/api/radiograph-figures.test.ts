import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { renderedFilm } from "../support/films.ts";
import {
  addSeries,
  latestSet,
  newCase,
  openFilmRoom,
  SHAPE,
  SMALL,
  THIMBLE,
} from "../support/film-room.ts";
import type { FilmRoom } from "../support/film-room.ts";
import { uploadFilm } from "../support/uploads.ts";

/** The figures films are measured by are settings of the practice, dated and applied. */
let room: FilmRoom;
let caseId: string;
let filmIds: string[];

beforeAll(async () => {
  room = await openFilmRoom();
  caseId = await newCase(room, "Own Figures");
  filmIds = await addSeries(room, caseId, THIMBLE, SHAPE.thimble);
});
afterAll(async () => {
  await room.service.close();
});

const set = async (key: string, value: number) => {
  const answer = await room.service.vet.send("post", "/settings", {
    key,
    value,
    since: "2026-10-14",
    source: "Practice meeting",
  });
  expect(answer.status, answer.text).toBe(201);
};
const figures = async () => (await room.service.vet.get("/film-figures")).body;

describe("the practice's own figures for films", () => {
  it("start as the standard ones and are read by whoever measures", async () => {
    expect(await figures()).toMatchObject({
      landmarkSpread: { mm: 0.4, px: 3 },
      edgeReach: { mm: 2, px: 12 },
      wedgeSdDegrees: 0.5,
      sem: { soleDepthTip: 0.9, capsularRotation: 0.7, founderDistance: 1 },
    });
    expect((await room.service.farrier.get("/film-figures")).status).toBe(200);
    expect((await room.service.owner.get("/film-figures")).status).toBe(403);
  });

  it("list the reading error of each measure, for a study to fill and nobody to type", async () => {
    const { body } = await room.service.manager.get("/settings");
    const found = body.items.find(
      (one: { key: string }) => one.key === "radiograph.sem.soleDepthTip",
    );
    expect(found).toMatchObject({ value: 0, unit: "mm", change: "fixed" });
    const typed = await room.service.vet.send("post", "/settings", {
      key: "radiograph.sem.soleDepthTip",
      value: 0.1,
      since: "2026-10-14",
      source: "Felt like it",
    });
    expect(typed.status).toBe(422);
  });

  it("decide what the series calls real: by a reading error of 5 mm no sole ever moved", async () => {
    const sole = async () => {
      const { body } = await room.service.vet.get(`/cases/${caseId}/measurement-series?foot=LF`);
      return body.changes.find((one: { key: string }) => one.key === "soleDepthTip").verdict;
    };
    expect(await sole()).toBe("real");
    await set("radiograph.sem-distance", 5);
    expect((await figures()).sem.soleDepthTip).toBe(5);
    expect(await sole()).toBe("within error");
  });

  it("widen every ± when hands scatter more", async () => {
    const last = filmIds.at(-1)!;
    const before = await latestSet(room, last);
    await set("radiograph.landmark-sd", 0.8);
    const kept = await room.service.vet.send("post", `/radiographs/${last}/landmark-sets`, {
      points: before.points,
    });
    const of = (body: { measurements: { key: string; standardUncertainty: number }[] }) =>
      body.measurements.find((one) => one.key === "palmarAngleGround")!.standardUncertainty;
    expect(of(kept.body) / of(before)).toBeCloseTo(2, 6);
  });

  it("turn a film amber and red by the practice's own ages", async () => {
    const ageOf = async () => (await room.service.vet.get(`/radiographs/${filmIds.at(-1)}`)).body;
    expect(await ageOf()).toMatchObject({ ageDays: 5, ageState: "fresh" });
    await set("radiograph.film-age-treatment.amberAfterDays", 4);
    expect(await ageOf()).toMatchObject({
      ageState: "amber",
      ageText: "film 5 days old: the foot may no longer match it",
    });
  });

  it("hold the spacing in a file to be as uncertain as an estimated magnification is", async () => {
    const estimated = renderedFilm(undefined, { render: { ...SMALL.render, seed: 4711 } });
    const added = await uploadFilm(room.service, caseId, estimated.dicom, {
      foot: "LF",
      groundLineOn: "foot surface",
    });
    const { scale } = added.body;
    expect(["none", "spacing"]).toContain(scale.kind);
    if (scale.kind === "spacing") expect(scale.relativeStandardUncertainty).toBe(0.05);
  });
});
