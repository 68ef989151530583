import { phantomFromMeasures } from "@heelward/radiograph/phantom";
import { writeDicom } from "@heelward/radiograph/dicom";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startTestService, type TestService } from "../support/service.ts";
import { uploadFilm } from "../support/uploads.ts";

/** An invented founder case: rotation of about nine degrees. */
const measures = {
  palmarAngleDegrees: 12,
  boneFrontAngleDegrees: 60,
  wallAngleDegrees: 51,
  wallToBoneTopMm: 16,
  wallToBoneBottomMm: 21.4,
  soleTipMm: 9,
  soleWingMm: 20.2,
  founderDistanceMm: 11,
  breakoverDistanceMm: 40,
  solarLengthMm: 54,
  wallSpanMm: 34,
};

let service: TestService;
let caseId: string;
let filmId: string;
const phantom = phantomFromMeasures(measures);
const points = Object.fromEntries(
  Object.entries(phantom.landmarksPx).map(([key, point]) => [key, { x: point.x, y: point.y }]),
);
const dicom = writeDicom(phantom.film, {
  horseName: "Test Horse",
  horseId: "1",
  takenOn: "2026-10-13",
  takenAtTime: "10:00:00",
  side: "L",
  view: "lateromedial",
});

beforeAll(async () => {
  service = await startTestService();
  const opened = await service.vet.send("post", "/cases", {
    horseId: service.horseId,
    phase: "acute",
  });
  caseId = opened.body.id;
});
afterAll(async () => {
  await service.close();
});

describe("films", () => {
  it("keeps a 16-bit DICOM film and shows its grey values unchanged", async () => {
    const added = await uploadFilm(service, caseId, dicom, {
      foot: "LF",
      groundLineOn: "foot surface",
    });
    expect(added.status).toBe(201);
    expect(added.body).toMatchObject({
      foot: "LF",
      view: "lateromedial",
      widthPx: phantom.film.widthPx,
      heightPx: phantom.film.heightPx,
      mediaType: "application/dicom",
      sideConfirmedBy: null,
    });
    filmId = added.body.id;
    const pixels = await service.farrier
      .get(`/radiographs/${filmId}/pixels`)
      .buffer(true)
      .parse((response, done) => {
        const chunks: Buffer[] = [];
        response.on("data", (chunk: Buffer) => chunks.push(chunk));
        response.on("end", () => done(null, Buffer.concat(chunks)));
      });
    const shown = new Uint16Array(new Uint8Array(pixels.body as Buffer).buffer);
    expect(
      Buffer.compare(
        Buffer.from(shown.buffer),
        Buffer.from(
          phantom.film.pixels.buffer,
          phantom.film.pixels.byteOffset,
          phantom.film.pixels.byteLength,
        ),
      ),
    ).toBe(0);
    const original = await service.vet
      .get(`/radiographs/${filmId}/original`)
      .buffer(true)
      .parse((response, done) => {
        const chunks: Buffer[] = [];
        response.on("data", (chunk: Buffer) => chunks.push(chunk));
        response.on("end", () => done(null, Buffer.concat(chunks)));
      });
    expect(Buffer.compare(original.body as Buffer, Buffer.from(dicom))).toBe(0);
    expect((await service.vet.get(`/radiographs/${filmId}/preview`)).headers["content-type"]).toBe(
      "image/jpeg",
    );
  });

  it("refuses the other side when the film itself says left", async () => {
    const refused = await uploadFilm(service, caseId, dicom, { foot: "RF" });
    expect(refused.status).toBe(400);
    expect(refused.body.errors[0]).toMatchObject({ pointer: "/foot" });
  });

  it("refuses a file that is no film, and stores nothing", async () => {
    const refused = await uploadFilm(
      service,
      caseId,
      new TextEncoder().encode("not a film at all"),
      { foot: "LF" },
    );
    expect(refused.status).toBe(415);
    const broken = await uploadFilm(service, caseId, dicom.subarray(0, 4000), { foot: "LF" });
    expect(broken.status).toBe(422);
    expect(await service.query("SELECT count(*)::int AS n FROM radiographs")).toEqual([{ n: 1 }]);
  });

  it("lets nobody confirm the side of the film they added", async () => {
    expect(
      (
        await service.vet.send(
          "post",
          `/radiographs/${filmId}/side-confirmation`,
          { foot: "LF" },
          1,
        )
      ).status,
    ).toBe(409);
    const other = await service.personWith("vet", "Second Vet");
    const confirmed = await other.send(
      "post",
      `/radiographs/${filmId}/side-confirmation`,
      { foot: "LF" },
      1,
    );
    expect(confirmed.status).toBe(200);
    expect(confirmed.body.sideConfirmedBy.name).toBe("Second Vet");
    expect(
      (await service.vet.send("patch", `/radiographs/${filmId}`, { foot: "LH" }, 2)).status,
    ).toBe(409);
  });
});

describe("measures", () => {
  it("gives millimetres only with a scale", async () => {
    await service.vet.send("patch", `/radiographs/${filmId}`, { scale: { kind: "none" } }, 2);
    const set = await service.vet.send("post", `/radiographs/${filmId}/landmark-sets`, { points });
    expect(set.status).toBe(201);
    const sole = set.body.measurements.find((one: { key: string }) => one.key === "soleDepthTip");
    expect(sole).toMatchObject({ value: null, missing: expect.stringContaining("no scale") });
  });

  it("measures the phantom within its own stated uncertainty once the marker's length is known", async () => {
    const changed = await service.vet.send(
      "patch",
      `/radiographs/${filmId}`,
      { scale: { kind: "marker", lengthMm: 100, lengthStandardUncertaintyMm: 0.2 } },
      3,
    );
    expect(changed.status).toBe(200);
    const { body } = await service.farrier.get(`/radiographs/${filmId}/landmark-sets`);
    const valueOf = (key: string) =>
      body.items[0].measurements.find((one: { key: string }) => one.key === key);
    for (const [key, truth] of [
      ["soleDepthTip", phantom.truth.soleTipMm],
      ["soleDepthWing", phantom.truth.soleWingMm],
      ["founderDistance", phantom.truth.founderDistanceMm],
      ["palmarAngleGround", phantom.truth.palmarAngleDegrees],
      ["capsularRotation", phantom.truth.capsularRotationDegrees],
      ["breakoverDistance", phantom.truth.breakoverDistanceMm],
    ] as const) {
      const { value, standardUncertainty } = valueOf(key);
      expect(Math.abs(value - truth), key).toBeLessThan(3 * standardUncertainty);
    }
  });

  it("refuses marks under which the bone itself would have changed shape", async () => {
    const later = await uploadFilm(
      service,
      caseId,
      writeDicom(phantomFromMeasures(measures, { render: { seed: 2 } }).film, {
        horseName: "Test Horse",
        horseId: "1",
        takenOn: "2026-10-14",
        takenAtTime: "06:00:00",
        side: "L",
        view: "lateromedial",
      }),
      { foot: "LF" },
    );
    await service.vet.send(
      "patch",
      `/radiographs/${later.body.id}`,
      { scale: { kind: "marker", lengthMm: 100 } },
      1,
    );
    const wing = points["p3Wing"] as { x: number; y: number };
    const refused = await service.vet.send("post", `/radiographs/${later.body.id}/landmark-sets`, {
      points: { ...points, p3Wing: { x: wing.x, y: wing.y - 30 } },
    });
    expect(refused.status).toBe(422);
    expect(refused.body.detail).toContain("bone angle does not match earlier films");
    expect(
      (await service.vet.send("post", `/radiographs/${later.body.id}/landmark-sets`, { points }))
        .status,
    ).toBe(201);
    const series = await service.vet.get(`/cases/${caseId}/measurement-series?foot=LF`);
    expect(series.status).toBe(200);
    expect(series.body.films).toHaveLength(2);
    expect(series.body.changes.every((one: { verdict: string }) => one.verdict !== "real")).toBe(
      true,
    );
  });

  it("names a landmark that this view does not have", async () => {
    const refused = await service.vet.send("post", `/radiographs/${filmId}/landmark-sets`, {
      points: { ...points, jointMedialUpper: { x: 1, y: 1 } },
    });
    expect(refused.status).toBe(400);
    expect(refused.body.errors[0].pointer).toBe("/points/jointMedialUpper");
  });
});
