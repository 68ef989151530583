import { checkFilm, type MeasuredFilm, type MeasureKey } from "@heelward/domain/geometry";
import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { bytesFrom, measuredFilm, renderedFilm, type Points } from "../support/films.ts";
import { toolFolder, toolSays } from "../support/outside-tools.ts";
import { startTestService, type TestPerson, type TestService } from "../support/service.ts";
import { uploadFilm } from "../support/uploads.ts";

/** Quick to render; the points are as exact as on a full film. */
const SMALL = { render: { widthPx: 600, heightPx: 500, detectorPitchMm: 0.34 } } as const;

/**
 * Readings of the invented cases: date, wedge, palmar angle, bone front, wall, rotation, wall to bone
 * top and bottom, sole under tip and wing, founder distance, breakover. Angles as the foot stood.
 */
type Row = readonly [
  string,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
];
const THIMBLE: readonly Row[] = [
  ["2026-07-08", 0, 6.5, 55.5, 53, 2.5, 13.5, 14.5, 11.5, 16.5, 8, 14.5],
  ["2026-10-09", 0, 4.5, 53.5, 52.5, 1, 13, 13.5, 15, 18.5, 7, 9],
];
const MARL_HOPPER: readonly Row[] = [
  ["2025-10-16", 0, 14, 61, 50, 11, 16.5, 23, 8, 21, 12, 46],
  ["2025-12-15", 0, 9, 56, 47.5, 8.5, 16, 21, 11, 19.5, 11, 17],
  ["2026-02-09", 0, 7, 54, 47.5, 6.5, 16, 20, 13, 19.5, 10.5, 10],
  ["2026-06-20", 0, 8, 55, 48.5, 6.5, 15.5, 19.5, 13, 20.5, 10.5, 14.5],
  ["2026-10-05", 0, 4.5, 51.5, 48.5, 3, 15.5, 17.5, 16, 20, 9, 10.5],
];
const HARBOUR_DRUM: readonly Row[] = [
  ["2026-02-16", 0, 3, 50, 49.5, 0.5, 18.5, 19, 17, 20.5, 10, 10],
  ["2026-02-20", 0, 3, 50, 49.5, 0.5, 20.5, 21, 15, 18.5, 13, 4.5],
  ["2026-02-24", 6, 9, 56, 55, 1, 23, 23.5, 11, 14.5, 18, 4.5],
];
/** Length of the bone and along the wall between the two wall-to-bone readings, mm. */
const SHAPE = {
  thimble: { solarLengthMm: 46, wallSpanMm: 28 },
  marlHopper: { solarLengthMm: 54, wallSpanMm: 34 },
  harbourDrum: { solarLengthMm: 66, wallSpanMm: 42 },
} as const;

const filmOf = (
  row: Row,
  shape: { readonly solarLengthMm: number; readonly wallSpanMm: number },
) => {
  const [, wedge, palmar, front, wall, , top, bottom, tip, wing, founder, breakover] = row;
  return renderedFilm(
    {
      palmarAngleDegrees: palmar,
      boneFrontAngleDegrees: front,
      wallAngleDegrees: wall,
      wallToBoneTopMm: top,
      wallToBoneBottomMm: bottom,
      soleTipMm: tip,
      soleWingMm: wing,
      founderDistanceMm: founder,
      breakoverDistanceMm: breakover,
      wedgeDegrees: wedge,
      ...shape,
    },
    // Another grain of noise each time: no two films of a horse are the same file.
    { render: { ...SMALL.render, seed: Number(row[0].replaceAll("-", "")) % 99_991 } },
  );
};

let service: TestService;
let second: TestPerson;
const folder = toolFolder();

beforeAll(async () => {
  service = await startTestService();
  second = await service.personWith("vet", "Second Vet");
});
afterAll(async () => {
  folder.remove();
  await service.close();
});

/** A horse of its own with an open case. */
const newCase = async (name: string, phase = "chronic active"): Promise<string> => {
  const horse = await service.manager.send("post", "/horses", {
    name,
    type: "horse",
    sex: "gelding",
    bornOn: "2015-04-01",
    yardId: service.yardId,
    farrierId: service.farrier.id,
  });
  if (horse.status !== 201) throw new Error(horse.text);
  await service.vet.send("post", `/horses/${horse.body.id}/weighings`, {
    method: "scale",
    weightKg: 480,
    weighedAt: "2026-10-13T08:00:00+01:00",
  });
  const opened = await service.vet.send("post", "/cases", { horseId: horse.body.id, phase });
  if (opened.status !== 201) throw new Error(opened.text);
  return opened.body.id;
};

const addSeries = async (
  caseId: string,
  rows: readonly Row[],
  shape: Parameters<typeof filmOf>[1],
): Promise<string[]> => {
  const ids: string[] = [];
  for (const row of rows)
    // One after the other: each film is checked against those before it.
    // oxlint-disable-next-line no-await-in-loop
    ids.push(
      await measuredFilm(service, caseId, second, filmOf(row, shape), {
        takenAt: `${row[0]}T10:00:00Z`,
        wedgeDegrees: String(row[1]),
        // On a wedge the ground line seen is the ground itself.
        groundLineOn: row[1] > 0 ? "ground" : "foot surface",
        beamCentring: "hoof-ground interface",
      }),
    );
  return ids;
};

interface Measure {
  readonly key: string;
  readonly value: number | null;
  readonly missing: string | null;
  readonly unit: string;
}
const latestSet = async (filmId: string) =>
  (await service.vet.get(`/radiographs/${filmId}/landmark-sets`)).body.items[0];
const valueOf = (measurements: readonly Measure[], key: string): number =>
  measurements.find((one) => one.key === key)?.value ?? Number.NaN;

const plan = (foot: string, changes: object = {}) => ({
  foot,
  toeBackMm: 8,
  breakoverFromP3TipMm: 4,
  heelRemoveMm: 0,
  palmarAngleTargetDegrees: { low: 2, high: 5 },
  soleMinMm: 10,
  shoe: "rolled-bar",
  supportFill: "back-two-thirds",
  fixing: "glue",
  ...changes,
});
const draftOn = async (
  caseId: string,
  filmIds: readonly string[],
  feet: readonly object[],
  changes: object = {},
) => {
  const drafted = await service.vet.send("post", `/cases/${caseId}/prescriptions`, {
    aim: "Load the back half, unload the toe",
    feet,
    conditions: {},
    intervalDays: 28,
    radiographIds: filmIds,
    ...changes,
  });
  if (drafted.status !== 201) throw new Error(drafted.text);
  return drafted.body;
};
const sign = (
  drafted: { readonly id: string; readonly version: number },
  overrides: readonly object[],
) =>
  service.vet.send(
    "post",
    `/prescriptions/${drafted.id}/signature`,
    { readBack: { filmOpened: true, targetsConfirmed: true }, overrides },
    drafted.version,
  );
const warnings = (findings: readonly { rule: string; outcome: string }[], except: string) =>
  findings
    .filter((one) => one.outcome === "warn" && one.rule !== except)
    .map((one) => ({ rule: one.rule, reason: "seen and accepted" }));

describe("films measured on screen by placing landmarks", () => {
  it("gives a length within 0.5 mm from two known points and a 40 mm marker", async () => {
    const caseId = await newCase("Row Three");
    const film = renderedFilm(undefined, { ...SMALL, extras: { markerLengthMm: 40 } });
    const added = await uploadFilm(service, caseId, film.dicom, {
      foot: "LF",
      groundLineOn: "foot surface",
    });
    await service.vet.send(
      "patch",
      `/radiographs/${added.body.id}`,
      { scale: { kind: "marker", lengthMm: 40 } },
      1,
    );
    // The coronary band only tells up from down.
    const { markerStart, markerEnd, p3Tip, p3Wing, coronaryBand } = film.points;
    const set = await service.vet.send("post", `/radiographs/${added.body.id}/landmark-sets`, {
      points: { markerStart, markerEnd, p3Tip, p3Wing, coronaryBand },
    });
    expect(set.status).toBe(201);
    // Reference: the geometry that the film was rendered from, 54 mm from tip to wing.
    expect(Math.abs(valueOf(set.body.measurements, "p3SolarLength") - 54)).toBeLessThan(0.5);
  });
});

describe("the scale check", () => {
  it("gives no length and lets no plan be signed without marker or distances", async () => {
    const caseId = await newCase("Row Four");
    const film = renderedFilm(undefined, { ...SMALL, side: "R" });
    const added = await uploadFilm(service, caseId, film.dicom, { foot: "RF" });
    const filmId = added.body.id;
    await service.vet.send("patch", `/radiographs/${filmId}`, { scale: { kind: "none" } }, 1);
    const confirmed = await second.send(
      "post",
      `/radiographs/${filmId}/side-confirmation`,
      { foot: "RF" },
      2,
    );
    expect(confirmed.body.hasMillimetres).toBe(false);
    const set = await service.vet.send("post", `/radiographs/${filmId}/landmark-sets`, {
      points: film.points,
    });
    const measurements = set.body.measurements as Measure[];
    const lengths = measurements.filter((one) => one.unit === "mm");
    expect(lengths.length).toBeGreaterThan(8);
    for (const one of lengths) {
      expect(one.value).toBeNull();
      expect(one.missing).toContain("no scale");
    }
    expect(valueOf(measurements, "capsularRotation")).toBeCloseTo(9, 0);
    const drafted = await draftOn(caseId, [filmId], [plan("RF")]);
    const refused = await sign(drafted, warnings(drafted.findings, ""));
    expect(refused.status).toBe(422);
    expect(refused.body.findings).toContainEqual(
      expect.objectContaining({ rule: "prescription/scale@1", outcome: "block" }),
    );
  });
});

describe("the checks of the marks", () => {
  it("refuses one mark shifted by 4 degrees: the bone does not bend", async () => {
    const caseId = await newCase("Row Five");
    const [first, later] = MARL_HOPPER;
    await addSeries(caseId, [first!], SHAPE.marlHopper);
    const film = filmOf(later!, SHAPE.marlHopper);
    const added = await uploadFilm(service, caseId, film.dicom, {
      foot: "LF",
      groundLineOn: "foot surface",
    });
    await service.vet.send(
      "patch",
      `/radiographs/${added.body.id}`,
      { scale: { kind: "marker", lengthMm: 100 } },
      1,
    );
    const [tip, wing] = [film.points["p3Tip"]!, film.points["p3Wing"]!];
    const turn = (4 * Math.PI) / 180;
    const [dx, dy] = [wing.x - tip.x, wing.y - tip.y];
    const turned = {
      x: tip.x + dx * Math.cos(turn) - dy * Math.sin(turn),
      y: tip.y + dx * Math.sin(turn) + dy * Math.cos(turn),
    };
    const points: Points = { ...film.points, p3Wing: turned };
    const check = await service.farrier.send(
      "post",
      `/radiographs/${added.body.id}/landmark-check`,
      { points },
    );
    expect(check.body.mayBeKept).toBe(false);
    const refused = await service.vet.send("post", `/radiographs/${added.body.id}/landmark-sets`, {
      points,
    });
    expect(refused.status).toBe(422);
    expect(refused.body.detail).toContain("bone angle does not match earlier films");
    expect(
      (await service.vet.get(`/radiographs/${added.body.id}/landmark-sets`)).body.items,
    ).toEqual([]);
  });

  it("raises a check before saving when a wing value is 4 mm off", async () => {
    const caseId = await newCase("Row Six");
    await addSeries(caseId, MARL_HOPPER.slice(2, 3), SHAPE.marlHopper);
    const film = filmOf(MARL_HOPPER[3]!, SHAPE.marlHopper);
    const added = await uploadFilm(service, caseId, film.dicom, {
      foot: "LF",
      groundLineOn: "foot surface",
    });
    await service.vet.send(
      "patch",
      `/radiographs/${added.body.id}`,
      { scale: { kind: "marker", lengthMm: 100 } },
      1,
    );
    const rulesFor = async (points: Points): Promise<string[]> =>
      (
        await service.vet.send("post", `/radiographs/${added.body.id}/landmark-check`, { points })
      ).body.findings.flatMap((one: { rule: string; outcome: string }) =>
        one.outcome === "warn" || one.outcome === "block" ? [one.rule] : [],
      );
    expect(await rulesFor(film.points)).not.toContain("radiograph/wing@1");
    const wing = film.points["p3Wing"]!;
    const pxPerMm =
      Math.hypot(
        film.points["markerEnd"]!.x - film.points["markerStart"]!.x,
        film.points["markerEnd"]!.y - film.points["markerStart"]!.y,
      ) / 100;
    const off = { ...film.points, p3Wing: { x: wing.x, y: wing.y + 4 * pxPerMm } };
    expect(await rulesFor(off)).toContain("radiograph/wing@1");
    expect(
      (await service.vet.get(`/radiographs/${added.body.id}/landmark-sets`)).body.items,
    ).toEqual([]);
    // The same for figures typed in from paper, where the angle does not move with the mark.
    const typed = (wingMm: number): MeasuredFilm => ({
      film: {
        foot: "LF",
        view: "lateromedial",
        takenOn: "2026-06-20",
        wedgeDegrees: 0,
        centring: "not recorded",
      },
      measurements: (
        [
          ["soleDepthTip", 13],
          ["soleDepthWing", wingMm],
          ["palmarAngleGround", 8],
          ["palmarAngleFoot", 8],
          ["p3SolarLength", 54],
        ] as [MeasureKey, number][]
      ).map(([key, value]) => ({ key, value, standardUncertainty: null })),
    });
    expect(checkFilm(typed(20.5), []).map((one) => one.rule)).not.toContain("radiograph/wing@1");
    expect(checkFilm(typed(24.5), []).map((one) => one.rule)).toContain("radiograph/wing@1");
  });
});

describe("every number with its error", () => {
  it("says of rotation 2.5 to 1.0 not clearly different, of sole 11.5 to 15.0 a real gain", async () => {
    const caseId = await newCase("Thimble");
    await addSeries(caseId, THIMBLE, SHAPE.thimble);
    const series = await service.farrier.get(`/cases/${caseId}/measurement-series?foot=LF`);
    const change = (key: string) =>
      series.body.changes.find((one: { key: string }) => one.key === key);
    const rotation = change("capsularRotation");
    expect(rotation.difference).toBeCloseTo(-1.5, 1);
    expect(rotation).toMatchObject({ verdict: "within error" });
    expect(rotation.text).toContain("not clearly different");
    const sole = change("soleDepthTip");
    expect(sole.difference).toBeGreaterThan(3);
    expect(sole).toMatchObject({ verdict: "real" });
    expect(sole.text).toMatch(/^real change: \+3/);
    for (const film of series.body.films)
      for (const one of film.measurements as (Measure & { standardUncertainty: number | null })[])
        expect(one.value === null || (one.standardUncertainty ?? 0) > 0).toBe(true);
  });
});

describe("the wedge", () => {
  it("is taken out of every comparison: palmar 9 is 3 of the foot and 6 of the wedge", async () => {
    const caseId = await newCase("Row Nine");
    const ids = await addSeries(caseId, HARBOUR_DRUM, SHAPE.harbourDrum);
    const set = await latestSet(ids[2]!);
    expect(valueOf(set.measurements, "palmarAngleGround")).toBeCloseTo(9, 1);
    expect(valueOf(set.measurements, "palmarAngleFoot")).toBeCloseTo(3, 1);
    const series = await service.vet.get(`/cases/${caseId}/measurement-series?foot=LF`);
    const palmar = series.body.changes.find(
      (one: { key: string; toRadiographId: string }) =>
        one.key === "palmarAngleGround" && one.toRadiographId === ids[2],
    );
    expect(Math.abs(palmar.difference)).toBeLessThan(0.2);
    expect(palmar.verdict).toBe("within error");
    expect(palmar.findings).toContainEqual(
      expect.objectContaining({ rule: "radiograph/wedge-taken-out@1" }),
    );
  });
});

describe("left and right, the position card, the age of a film", () => {
  it("keeps a film from owner and plan until somebody else has confirmed the side", async () => {
    const caseId = await newCase("Row Ten");
    const film = renderedFilm(undefined, SMALL);
    const added = await uploadFilm(service, caseId, film.dicom, { foot: "LF" });
    const release = (version: number) =>
      service.vet.send(
        "post",
        `/radiographs/${added.body.id}/release`,
        { words: "The foot from the side" },
        version,
      );
    const refused = await release(1);
    expect(refused.status).toBe(422);
    expect(refused.body.findings).toContainEqual(
      expect.objectContaining({ rule: "radiograph/release-side@1", outcome: "block" }),
    );
    const own = await service.vet.send(
      "post",
      `/radiographs/${added.body.id}/side-confirmation`,
      { foot: "LF" },
      1,
    );
    expect(own.status).toBe(409);
    await expect(
      service.query("UPDATE radiographs SET released_at = now() WHERE id = $1", [added.body.id]),
    ).rejects.toThrow("check constraint");
    const confirmed = await service.farrier.send(
      "post",
      `/radiographs/${added.body.id}/side-confirmation`,
      { foot: "LF" },
      1,
    );
    expect(confirmed.status).toBe(200);
    const released = await release(2);
    expect(released.status).toBe(200);
    expect(released.body).toMatchObject({ releasedBy: { name: "Vera Vet" } });
    const pictures = await service.query(
      "SELECT kind, for_owner, caption FROM documents WHERE horse_id = $1",
      [released.body.horseId],
    );
    expect(pictures).toEqual([
      { kind: "film picture", for_owner: true, caption: "The foot from the side" },
    ]);
    expect((await release(3)).status).toBe(409);
    expect(
      (
        await service.farrier.send(
          "post",
          `/radiographs/${added.body.id}/release`,
          { words: "x" },
          3,
        )
      ).status,
    ).toBe(403);
  });

  it("lists each of the 8 items missed on the film and in the plan", async () => {
    const caseId = await newCase("Row Eleven");
    const [filmId] = await addSeries(caseId, MARL_HOPPER.slice(-1), SHAPE.marlHopper);
    const film = await service.vet.get(`/radiographs/${filmId}`);
    expect(film.body.missingPositionItems).toHaveLength(8);
    const ticked = [
      "cleanFeet",
      "shoesOff",
      "equalBlocks",
      "cannonUpright",
      "wallMarker",
      "beamAtSole",
      "scaleMarker",
    ];
    const changed = await service.vet.send(
      "patch",
      `/radiographs/${filmId}`,
      { positionCard: ticked },
      film.body.version,
    );
    expect(changed.body.missingPositionItems).toEqual(["Pin or marker at the frog tip"]);
    const drafted = await draftOn(caseId, [filmId!], [plan("LF")]);
    expect(drafted.findings).toContainEqual(
      expect.objectContaining({
        rule: "prescription/film-quality@1",
        detail: expect.stringContaining("Pin or marker at the frog tip"),
      }),
    );
  });

  it("shows a 20-day film in treatment amber with its age, on the plan and on paper", async () => {
    const caseId = await newCase("Row Twelve");
    const row = MARL_HOPPER.at(-1)!;
    const [filmId] = await addSeries(
      caseId,
      [["2026-09-24", ...row.slice(1)] as unknown as Row],
      SHAPE.marlHopper,
    );
    const film = await service.vet.get(`/radiographs/${filmId}`);
    expect(film.body.ageDays).toBe(20);
    const drafted = await draftOn(caseId, [filmId!], [plan("LF")]);
    const stale = drafted.findings.find((one: { detail: string }) =>
      one.detail.includes("20 days old"),
    );
    // Fresh up to 14 days in treatment: a house rule, see FILM_AGE_TREATMENT.
    expect(stale).toMatchObject({ outcome: "warn", rule: expect.stringContaining("film-age") });
    const refused = await sign(drafted, warnings(drafted.findings, stale.rule));
    expect(refused.status).toBe(422);
    const page = await bytesFrom(service.farrier, `/radiographs/${filmId}/report.pdf`);
    expect(toolSays("pdftotext", folder.write("old.pdf", page.bytes), "-")).toContain(
      "film 20 days old",
    );
  });
});

describe("drawing on the film", () => {
  it("shows a drawn line in the same place in data, on the picture and on paper", async () => {
    const caseId = await newCase("Row Fifteen");
    const [filmId] = await addSeries(caseId, MARL_HOPPER.slice(-1), SHAPE.marlHopper);
    const points = [
      { x: 60.25, y: 40.5 },
      { x: 180.75, y: 70 },
      { x: 300, y: 30.5 },
    ];
    const drawn = await service.farrier.send("post", `/radiographs/${filmId}/outlines`, {
      kind: "trim line",
      points,
      label: "heels",
    });
    expect(drawn.status).toBe(201);
    const listed = await service.vet.get(`/radiographs/${filmId}/outlines`);
    expect(listed.body.items[0].points).toEqual(points);
    const film = (await service.vet.get(`/radiographs/${filmId}`)).body;
    /** Places along the drawn line, as shares of the film's sides. */
    const places = [0.2, 0.5, 0.8].flatMap((share) =>
      points.slice(1).map((to, index) => {
        const from = points[index]!;
        return {
          x: (from.x + share * (to.x - from.x) + 0.5) / film.widthPx,
          y: (from.y + share * (to.y - from.y) + 0.5) / film.heightPx,
        };
      }),
    );
    const isDrawn = (picture: Awaited<ReturnType<typeof rawOf>>, x: number, y: number) => {
      const at = (Math.floor(y) * picture.info.width + Math.floor(x)) * picture.info.channels;
      const [red = 0, green = 0, blue = 0] = picture.data.subarray(at, at + 3);
      // The purple of a trim line: green well below red and blue.
      return red - green > 40 && blue - green > 20;
    };
    const rawOf = (bytes: Buffer) =>
      sharp(bytes).removeAlpha().raw().toBuffer({ resolveWithObject: true });
    const png = await bytesFrom(service.vet, `/radiographs/${filmId}/annotated.png`);
    const picture = await rawOf(png.bytes);
    const scale = Math.ceil(900 / film.heightPx);
    for (const { x, y } of places) {
      expect(isDrawn(picture, x * film.widthPx * scale, y * film.heightPx * scale)).toBe(true);
      expect(isDrawn(picture, x * film.widthPx * scale, (y * film.heightPx + 14) * scale)).toBe(
        false,
      );
    }
    const pdf = await bytesFrom(service.vet, `/radiographs/${filmId}/report.pdf`);
    const path = folder.write("drawn.pdf", pdf.bytes);
    // Reference: poppler draws the page; the box of the figure comes from the page's own structure.
    toolSays("pdftoppm", "-r", "288", "-png", "-singlefile", path, folder.path("drawn"));
    const paper = await rawOf(folder.read("drawn.png"));
    const [, box = ""] = /"\/BBox":\s*\[([^\]]+)\]/.exec(toolSays("qpdf", "--json", path)) ?? [];
    const [left = 0, bottom = 0, right = 0, top = 0] = box.split(",").map(Number);
    const perPoint = 288 / 72;
    const pageHeight = paper.info.height / perPoint;
    for (const { x, y } of places)
      expect(
        isDrawn(
          paper,
          (left + x * (right - left)) * perPoint,
          (pageHeight - top + y * (top - bottom)) * perPoint,
        ),
      ).toBe(true);
  });

  it("keeps every version, lets the farrier outline no shadow, and takes drawings off without losing them", async () => {
    const caseId = await newCase("Row Fifteen Again");
    const [filmId] = await addSeries(caseId, MARL_HOPPER.slice(-1), SHAPE.marlHopper);
    const draw = (person: TestPerson, body: object) =>
      person.send("post", `/radiographs/${filmId}/outlines`, body);
    const line = [
      { x: 10, y: 10 },
      { x: 50, y: 60 },
    ];
    const first = await draw(service.vet, { kind: "device outline", points: line });
    const next = await draw(service.farrier, {
      kind: "device outline",
      points: [...line, { x: 70, y: 20 }],
      replacesId: first.body.id,
    });
    expect(next.status).toBe(201);
    expect(
      (
        await draw(service.farrier, {
          kind: "device outline",
          points: line,
          replacesId: first.body.id,
        })
      ).status,
    ).toBe(400);
    expect((await service.vet.get(`/radiographs/${filmId}/outlines`)).body.items).toHaveLength(1);
    expect((await service.vet.send("post", `/film-outlines/${next.body.id}/removal`)).status).toBe(
      204,
    );
    expect((await service.vet.send("post", `/film-outlines/${next.body.id}/removal`)).status).toBe(
      404,
    );
    expect((await service.vet.get(`/radiographs/${filmId}/outlines`)).body.items).toEqual([]);
    expect(
      await service.query("SELECT count(*)::int AS n FROM film_outlines WHERE radiograph_id = $1", [
        filmId,
      ]),
    ).toEqual([{ n: 3 }]);
    expect(
      (await draw(service.farrier, { kind: "lucent line", points: [...line, { x: 20, y: 90 }] }))
        .status,
    ).toBe(403);
    expect(
      (
        await draw(service.vet, {
          kind: "note",
          points: [
            { x: 5, y: 5 },
            { x: 9000, y: 5 },
          ],
        })
      ).status,
    ).toBe(400);
  });
});

describe("a sinking bone", () => {
  let caseId: string;
  let ids: readonly string[];

  beforeAll(async () => {
    caseId = await newCase("Harbour Drum", "acute");
    ids = await addSeries(caseId, HARBOUR_DRUM.slice(0, 2), SHAPE.harbourDrum);
  });

  it("is raised on the film with the founder distance up and rotation flat, never on one that improves", async () => {
    const drum = await service.vet.get(`/cases/${caseId}/measurement-series?foot=LF`);
    const raised = drum.body.findings.filter(
      (one: { rule: string }) => one.rule === "radiograph/sinking-pattern@1",
    );
    expect(raised).toHaveLength(1);
    expect(raised[0].detail).toMatch(/founder distance up 3\.0 mm since 2026-02-16/);
    const hopper = await newCase("Marl Hopper");
    await addSeries(hopper, MARL_HOPPER, SHAPE.marlHopper);
    const never = await service.vet.get(`/cases/${hopper}/measurement-series?foot=LF`);
    expect(never.body.films).toHaveLength(5);
    expect(never.body.findings).toEqual([]);
  });

  it("lets no heel raise be signed without a reason, and the warning stays on the plan", async () => {
    const drafted = await draftOn(
      caseId,
      ids,
      [
        plan("LF", {
          wedgeDegrees: 6,
          wedgeReason: "Reduce the pull of the tendon",
          shoe: "rolled-bar",
        }),
      ],
      { intervalDays: 7, conditions: { wedgeTrialDays: 14 } },
    );
    const about = drafted.findings.filter(
      (one: { detail: string; outcome: string }) =>
        one.outcome === "warn" && /heel raise is not for a sinking bone/.test(one.detail),
    );
    expect(about).toHaveLength(1);
    const { rule } = about[0];
    const refused = await sign(drafted, warnings(drafted.findings, rule));
    expect(refused.status).toBe(422);
    expect(refused.body.findings.map((one: { rule: string }) => one.rule)).toContain(rule);
    const signed = await sign(drafted, [
      ...warnings(drafted.findings, rule),
      { rule, reason: "Reduce tendon pull, rotation feared" },
    ]);
    expect(signed.status).toBe(200);
    expect(signed.body.findings).toContainEqual(expect.objectContaining({ rule, outcome: "warn" }));
    expect(signed.body.overrides).toContainEqual({
      rule,
      reason: "Reduce tendon pull, rotation feared",
    });
    expect(
      JSON.parse(signed.body.signedText).findings.map((one: { rule: string }) => one.rule),
    ).toContain(rule);
  });
});
