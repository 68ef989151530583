import { normalFrom, randomStream } from "@heelward/radiograph/phantom";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { renderedFilm, type Points } from "../support/films.ts";
import { startTestService, type TestService } from "../support/service.ts";
import { uploadFilm } from "../support/uploads.ts";

const FILMS = 10;
let service: TestService;
let caseId: string;
const film = renderedFilm(undefined, {
  render: { widthPx: 300, heightPx: 250, detectorPitchMm: 0.68 },
});
const ids: string[] = [];
const random = randomStream(7);
const normal = (): number => normalFrom(random);

/** The same points as a hand places them: half a pixel to each side, and one reader leans to the right. */
const byHand = (lean: number): Points =>
  Object.fromEntries(
    Object.entries(film.points).map(([key, { x, y }]) => [
      key,
      { x: x + 0.5 * normal() + lean, y: y + 0.5 * normal() },
    ]),
  );

beforeAll(async () => {
  service = await startTestService();
  caseId = (
    await service.vet.send("post", "/cases", { horseId: service.horseId, phase: "chronic active" })
  ).body.id;
  for (let index = 0; index < FILMS; index += 1) {
    const another = renderedFilm(undefined, {
      render: { widthPx: 300, heightPx: 250, detectorPitchMm: 0.68, seed: 100 + index },
    });
    // One after the other, as they come from the plate.
    // oxlint-disable-next-line no-await-in-loop
    const added = await uploadFilm(service, caseId, another.dicom, {
      foot: "LF",
      groundLineOn: "foot surface",
    });
    // oxlint-disable-next-line no-await-in-loop
    await service.vet.send(
      "patch",
      `/radiographs/${added.body.id}`,
      { scale: { kind: "marker", lengthMm: 100 } },
      1,
    );
    ids.push(added.body.id);
  }
});
afterAll(async () => {
  await service.close();
});

interface Measure {
  readonly key: string;
  readonly value: number | null;
}

describe("the repeat-reading study", () => {
  /** Every reading of the sole under the tip, by film and reader, as the record holds it. */
  const soles: { film: number; reader: number; value: number }[] = [];

  it("has nothing to adopt before films were marked again", async () => {
    const empty = await service.vet.get("/repeat-reading-study");
    expect(empty.body).toEqual({ items: [], films: 0, readers: [] });
    expect((await service.vet.send("post", "/repeat-reading-study/adoption", {})).status).toBe(409);
  });

  it("takes two readings of ten films by two people, and none of them becomes a film's measures", async () => {
    for (const [index, id] of ids.entries())
      for (const [reader, person] of [service.vet, service.farrier].entries())
        for (let repeat = 1; repeat <= 2; repeat += 1) {
          // Readings are placed one after the other, as people do.
          // oxlint-disable-next-line no-await-in-loop
          const placed = await person.send("post", `/radiographs/${id}/repeat-readings`, {
            points: byHand(reader * 0.2),
          });
          expect(placed.status).toBe(201);
          expect(placed.body.myReadings).toBe(repeat);
          // oxlint-disable-next-line no-await-in-loop
          const [row] = await service.query(
            "SELECT measurements FROM landmark_sets WHERE id = $1",
            [placed.body.id],
          );
          const sole = ((row?.["measurements"] ?? []) as Measure[]).find(
            (one) => one.key === "soleDepthTip",
          );
          soles.push({ film: index, reader, value: sole?.value ?? Number.NaN });
        }
    const read = await service.vet.get(`/radiographs/${ids[0]}`);
    expect(read.body.landmarkSetCount).toBe(0);
    expect((await service.vet.get(`/radiographs/${ids[0]}/landmark-sets`)).body.items).toEqual([]);
    // A film read for the study alone still waits to be measured.
    const queue = await service.vet.get("/queue");
    expect(queue.body.items.map((one: { kind: string }) => one.kind)).toContain(
      "unread film to measure",
    );
    expect(
      (
        await service.manager.send("post", `/radiographs/${ids[0]}/repeat-readings`, {
          points: film.points,
        })
      ).status,
    ).toBe(403);
  });

  it("works out the error of the two-way model: variance of readers, of film by reader, and of repeats", async () => {
    const study = await service.manager.get("/repeat-reading-study");
    expect(study.body).toMatchObject({ films: FILMS });
    expect(study.body.readers).toHaveLength(2);
    const found = study.body.items.find(
      (one: { measure: string }) => one.measure === "soleDepthTip",
    );
    // Reference: two-way random-effects analysis of variance written out by its sums of squares
    // (Shrout & Fleiss 1979, Psychol Bull 86:420-428, with replicates), separately from the service's own.
    const mean = (values: readonly number[]) =>
      values.reduce((sum, v) => sum + v, 0) / values.length;
    const of = (filter: (one: (typeof soles)[number]) => boolean) =>
      soles.filter(filter).map((one) => one.value);
    const grand = mean(of(() => true));
    const films = ids.map((_, film) => mean(of((one) => one.film === film)));
    const readers = [0, 1].map((reader) => mean(of((one) => one.reader === reader)));
    const cell = (film: number, reader: number) =>
      of((one) => one.film === film && one.reader === reader);
    let [ssReader, ssCell, ssError] = [0, 0, 0];
    for (const reader of [0, 1]) ssReader += FILMS * 2 * (readers[reader]! - grand) ** 2;
    for (const film of ids.keys())
      for (const reader of [0, 1]) {
        const values = cell(film, reader);
        ssCell += 2 * (mean(values) - films[film]! - readers[reader]! + grand) ** 2;
        for (const value of values) ssError += (value - mean(values)) ** 2;
      }
    const msError = ssError / (FILMS * 2);
    const msCell = ssCell / (FILMS - 1);
    const variance =
      Math.max(0, (ssReader - msCell) / (FILMS * 2)) +
      Math.max(0, (msCell - msError) / 2) +
      msError;
    expect(found).toMatchObject({ method: "two-way", enough: true, missing: null });
    expect(found.sem).toBeCloseTo(Math.sqrt(variance), 9);
    expect(found.smallestRealChange).toBeCloseTo(1.96 * Math.SQRT2 * Math.sqrt(variance), 9);
    expect(found.inUse).toEqual({ sem: 0.9, isOwn: false, since: null });
  });

  it("is adopted by the clinical lead alone, and comparisons then use it", async () => {
    const vet = await service.personWith("vet", "Junior Vet");
    await service.query("UPDATE people SET clinical_lead = false WHERE id = $1", [vet.id]);
    expect((await vet.send("post", "/repeat-reading-study/adoption", {})).status).toBe(403);
    expect(
      (
        await service.vet.send("post", "/repeat-reading-study/adoption", {
          measures: ["toothLength"],
        })
      ).status,
    ).toBe(400);
    // Two films that differ by a real but small amount.
    for (const id of ids.slice(0, 2))
      // oxlint-disable-next-line no-await-in-loop
      await service.vet.send("post", `/radiographs/${id}/landmark-sets`, { points: film.points });
    const smallest = async (): Promise<number> => {
      const series = await service.vet.get(`/cases/${caseId}/measurement-series?foot=LF`);
      return series.body.changes.find((one: { key: string }) => one.key === "founderDistance")
        .smallestRealChange;
    };
    const before = await smallest();
    const adopted = await service.vet.send("post", "/repeat-reading-study/adoption", {
      measures: ["founderDistance"],
    });
    expect(adopted.status).toBe(201);
    const [{ sem }] = adopted.body.adopted;
    expect(sem).toBeGreaterThan(0);
    const study = await service.vet.get("/repeat-reading-study");
    const founder = study.body.items.find(
      (one: { measure: string }) => one.measure === "founderDistance",
    );
    expect(founder.inUse).toEqual({ sem, isOwn: true, since: "2026-10-14" });
    // The larger of the film's own uncertainty and the reading error counts, for each of both films.
    expect(before).toBeCloseTo(1.96 * Math.SQRT2 * 1.0, 6);
    expect(await smallest()).not.toBeCloseTo(before, 2);
    expect(
      await service.query("SELECT key, source FROM settings WHERE practice_id = $1", [
        service.practiceId,
      ]),
    ).toEqual([
      {
        key: "radiograph.sem.founderDistance",
        source: expect.stringContaining("10 films, 2 people, 40 readings"),
      },
    ]);
  });
});
