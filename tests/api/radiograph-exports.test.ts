import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { constructionLines, frontConstructionLines } from "@heelward/domain/geometry";
import { writeDicom } from "@heelward/radiograph/dicom";
import { frontPhantomFromMeasures } from "@heelward/radiograph/phantom";
import { bytesFrom, measuredFilm, renderedFilm } from "../support/films.ts";
import { toolFolder, toolSays } from "../support/outside-tools.ts";
import { startTestService, type TestPerson, type TestService } from "../support/service.ts";
import { uploadFilm } from "../support/uploads.ts";

interface Measure {
  readonly key: string;
  readonly label: string;
  readonly value: number | null;
  readonly unit: "mm" | "deg" | "ratio" | "%";
  readonly standardUncertainty: number | null;
}

let service: TestService;
let second: TestPerson;
let caseId: string;
let filmId: string;
let measures: readonly Measure[];
const film = renderedFilm();
const folder = toolFolder();

beforeAll(async () => {
  service = await startTestService();
  second = await service.personWith("vet", "Second Vet");
  const opened = await service.vet.send("post", "/cases", {
    horseId: service.horseId,
    phase: "acute",
  });
  caseId = opened.body.id;
  filmId = await measuredFilm(service, caseId, second, film);
  const sets = await service.vet.get(`/radiographs/${filmId}/landmark-sets`);
  measures = sets.body.items[0].measurements;
});
afterAll(async () => {
  folder.remove();
  await service.close();
});

const DIGITS = { mm: 1, deg: 1, ratio: 2, "%": 1 } as const;
const given = (): (Measure & { value: number; standardUncertainty: number })[] =>
  measures.flatMap((one) =>
    one.value === null || one.standardUncertainty === null
      ? []
      : [{ ...one, value: one.value, standardUncertainty: one.standardUncertainty }],
  );

describe("the page of a film", () => {
  it("is a tagged PDF that qpdf finds whole, for the farrier too", async () => {
    const page = await bytesFrom(service.farrier, `/radiographs/${filmId}/report.pdf`);
    expect(page.status).toBe(200);
    expect(page.type).toBe("application/pdf");
    // A kept copy would show old figures as today's.
    const again = await service.vet.get(`/radiographs/${filmId}/annotated.png`);
    expect(again.headers["cache-control"]).toBe("no-store");
    const path = folder.write("page.pdf", page.bytes);
    // References: qpdf for the file, poppler for tags and embedded fonts.
    expect(toolSays("qpdf", "--check", path)).toContain("No syntax or stream encoding errors");
    const about = toolSays("pdfinfo", path);
    expect(about).toMatch(/Tagged:\s+yes/);
    expect(about).toMatch(/Pages:\s+1$/m);
    expect(about).toMatch(/Title:\s+Test Horse: left fore, side view/);
    const fonts = toolSays("pdffonts", path)
      .split("\n")
      .slice(2)
      .filter((row) => row !== "");
    expect(fonts.length).toBeGreaterThan(0);
    for (const font of fonts) expect(font).toMatch(/\byes yes yes\b/);
    const structure = toolSays("pdfinfo", "-struct", path);
    for (const kind of ["Document", "H1", "Figure", "Table", "TR", "TH", "TD"])
      expect(structure).toContain(kind);
    expect(toolSays("qpdf", "--json", path)).toContain("Radiograph with");
  });

  it("prints every measure of the record with its ±, as poppler reads it", async () => {
    const said = toolSays("pdftotext", "-layout", folder.path("page.pdf"), "-").replaceAll(
      "−",
      "-",
    );
    for (const one of given()) {
      const digits = DIGITS[one.unit];
      const row = said
        .split("\n")
        .find((line) => line.includes(` ${one.label} `) && line.includes("±"));
      expect(row).toBeDefined();
      const [value, plusMinus] = [...(row ?? "").split(one.label)[1]!.matchAll(/-?\d+\.\d+/g)].map(
        ([text]) => Number(text),
      );
      // Half a unit of the last printed digit, and nothing more.
      expect(Math.abs(value! - one.value)).toBeLessThanOrEqual(0.5001 * 10 ** -digits);
      expect(Math.abs(plusMinus! - 1.96 * one.standardUncertainty)).toBeLessThanOrEqual(
        0.5001 * 10 ** -digits,
      );
    }
    expect(said).toContain("Landmarks placed by Vera Vet");
    expect(said).toContain("side confirmed by Second Vet");
    expect(said).toContain("Position card not complete");
    expect(said).toContain("a licensed vet or farrier decides");
  });

  it("says without marks and without a confirmed side what it lacks", async () => {
    const bare = await uploadFilm(service, caseId, renderedFilm(undefined, { side: "R" }).dicom, {
      foot: "RF",
    });
    const page = await bytesFrom(service.vet, `/radiographs/${bare.body.id}/report.pdf`);
    const said = toolSays("pdftotext", folder.write("bare.pdf", page.bytes), "-");
    expect(said).toContain("No landmarks placed yet");
    expect(said).toContain("not confirmed by a second person");
    const report = await service.vet.get(`/radiographs/${bare.body.id}/structured-report`);
    expect(report.status).toBe(409);
  });
});

describe("the annotated picture", () => {
  it("shows the film pixel for pixel with each line where the geometry says", async () => {
    const picture = await bytesFrom(service.farrier, `/radiographs/${filmId}/annotated.png`);
    expect(picture.type).toBe("image/png");
    const { data, info } = await sharp(picture.bytes)
      .removeAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true });
    expect(info.width).toBeGreaterThan(film.phantom.film.widthPx);
    const isColoured = (x: number, y: number): boolean => {
      const at = (Math.round(y) * info.width + Math.round(x)) * info.channels;
      const [red = 0, green = 0, blue = 0] = data.subarray(at, at + 3);
      return Math.max(red, green, blue) - Math.min(red, green, blue) > 40;
    };
    const lines = constructionLines(film.points);
    expect(lines.length).toBeGreaterThan(12);
    const missing = lines.flatMap(({ measure, from, to }) =>
      [0.15, 0.85]
        .filter(
          (share) =>
            !isColoured(from.x + share * (to.x - from.x), from.y + share * (to.y - from.y)),
        )
        .map(() => measure),
    );
    expect(missing).toEqual([]);
    const isWhite = (x: number, y: number): boolean =>
      [0, 1, 2].every(
        (channel) =>
          (data[(Math.round(y) * info.width + Math.round(x)) * info.channels + channel] ?? 0) > 200,
      );
    // A white ring stands round each landmark, 1.6 line widths of 2 px from it.
    for (const { x, y } of Object.values(film.points)) {
      const around = Array.from({ length: 24 }, (_, step) => (step * Math.PI) / 12);
      const white = around.filter((turn) =>
        isWhite(x + 3.2 * Math.cos(turn), y + 3.2 * Math.sin(turn)),
      );
      expect(white.length).toBeGreaterThan(10);
    }
    // Away from lines and words the film is grey as it was.
    expect(isColoured(15, 15)).toBe(false);
  });
});

describe("a front view", () => {
  it("has its own lines on the picture, and a report that the validator accepts", async () => {
    const front = frontPhantomFromMeasures({
      tiltDegrees: 3.5,
      foraminaApartMm: 42,
      jointSpaceMedialMm: 3.2,
      jointSpaceLateralMm: 1.8,
      soleMiddleMm: 16,
      wallMedialMm: 17,
      wallLateralMm: 16,
    });
    const points = Object.fromEntries(
      Object.entries(front.landmarksPx).map(([key, { x, y }]) => [key, { x, y }]),
    );
    const dicom = writeDicom(front.film, {
      horseName: "Test Horse",
      horseId: "1",
      takenOn: "2026-10-13",
      takenAtTime: "10:05:00",
      side: "L",
      view: "dorsopalmar",
    });
    const id = await measuredFilm(
      service,
      caseId,
      second,
      { dicom, points },
      { view: "dorsopalmar" },
    );
    const report = await bytesFrom(service.vet, `/radiographs/${id}/structured-report`);
    const said = toolSays("dciodvfy", folder.write("front.dcm", report.bytes));
    expect(said.split("\n").filter((line) => line.startsWith("Error"))).toEqual([]);
    expect(toolSays("dsrdump", folder.path("front.dcm")).match(/SCOORD:/g)).toHaveLength(
      frontConstructionLines(points).length,
    );
    const page = await bytesFrom(service.farrier, `/radiographs/${id}/report.pdf`);
    const words = toolSays("pdftotext", "-layout", folder.write("front.pdf", page.bytes), "-");
    expect(words).toMatch(/Tilt of P3 \(margins\)\s+3\.5°/);
  });
});

describe("the structured report", () => {
  it("passes the validator without errors and gives dcmtk the very numbers of the record", async () => {
    const report = await bytesFrom(service.vet, `/radiographs/${filmId}/structured-report`);
    expect(report.type).toBe("application/dicom");
    const path = folder.write("report.dcm", report.bytes);
    // References: dciodvfy (PS3.3 and templates of PS3.16) and dcmtk's own reader of reports.
    const errors = toolSays("dciodvfy", path)
      .split("\n")
      .filter((line) => line.startsWith("Error"));
    expect(errors).toEqual([]);
    // Placed at ten past seven, summer time in Dublin.
    expect(toolSays("dcmdump", path)).toMatch(/\(0008,0033\) TM \[071000\]/);
    const said = toolSays("dsrdump", "+Pc", "+Pl", path);
    for (const one of given()) {
      const row = said
        .split("\n")
        .find((line) => line.includes("NUM:") && line.includes(`"${one.label}"`));
      const [, value] = /="(-?[\d.e-]+)"/.exec(row ?? "") ?? [];
      expect(Math.abs(Number(value) - one.value)).toBeLessThanOrEqual(
        1e-9 * Math.max(1, Math.abs(one.value)),
      );
    }
    expect(said.match(/<contains NUM:/g)).toHaveLength(given().length);
  });

  it("is not for the farrier, who gets picture and page", async () => {
    expect((await service.farrier.get(`/radiographs/${filmId}/structured-report`)).status).toBe(
      403,
    );
    expect((await service.owner.get(`/radiographs/${filmId}/report.pdf`)).status).toBe(403);
    expect((await service.carer.get(`/radiographs/${filmId}/annotated.png`)).status).toBe(403);
  });
});

describe("the table of measures", () => {
  it("holds each measure at full precision and no cell that starts a formula", async () => {
    const table = await bytesFrom(service.manager, `/cases/${caseId}/measurements.csv`);
    expect(table.type).toContain("text/csv");
    // Reference: Python's csv module, which reads RFC 4180.
    const script =
      "import csv,io,json,sys; print(json.dumps(list(csv.DictReader(io.StringIO(open(sys.argv[1],newline='',encoding='utf-8-sig').read(),newline='')))))";
    const rows = JSON.parse(
      toolSays("/usr/bin/python3", "-c", script, folder.write("t.csv", table.bytes)),
    ) as Record<string, string>[];
    const own = rows.filter((row) => row["film id"] === filmId);
    expect(own).toHaveLength(measures.length);
    for (const one of given()) {
      const row = own.find((each) => each["measure"] === one.key);
      expect(Number(row?.["value"])).toBe(one.value);
      expect(Number(row?.["standard uncertainty"])).toBe(one.standardUncertainty);
      expect(row?.["unit"]).toBe(one.unit);
    }
  });

  it("disarms a horse's name that a spreadsheet would run", async () => {
    await service.query("UPDATE horses SET name = $1 WHERE id = $2", [
      '=HYPERLINK("x","y")',
      service.horseId,
    ]);
    const table = await bytesFrom(service.manager, `/cases/${caseId}/measurements.csv`);
    await service.query("UPDATE horses SET name = 'Test Horse' WHERE id = $1", [service.horseId]);
    const text = table.bytes.toString("utf8");
    expect(text).toContain(`"'=HYPERLINK(""x"",""y"")"`);
    expect(text).not.toMatch(/(^|,)"?=/m);
  });
});

describe("the original file", () => {
  it("comes without horse and owner when asked, with the very same pixels", async () => {
    const plain = await bytesFrom(service.vet, `/radiographs/${filmId}/original`);
    expect(Buffer.compare(plain.bytes, Buffer.from(film.dicom))).toBe(0);
    const stripped = await bytesFrom(service.vet, `/radiographs/${filmId}/original?strip=true`);
    // Reference: dcmtk's dump of both files.
    const before = toolSays("dcmdump", folder.write("plain.dcm", plain.bytes));
    const after = toolSays("dcmdump", folder.write("stripped.dcm", stripped.bytes));
    expect(before).toContain("Odo Owner");
    expect(after).not.toContain("Odo Owner");
    expect(after).not.toContain("Test Horse");
    expect(after).toMatch(/\(0012,0062\) CS \[YES\]/);
    const values = (name: string): Buffer => {
      toolSays("dcmdump", "+W", folder.path("."), folder.path(`${name}.dcm`));
      return folder.read(`${name}.dcm.0.raw`);
    };
    expect(Buffer.compare(values("plain"), values("stripped"))).toBe(0);
    expect((await service.vet.get(`/radiographs/${filmId}/original?strip=perhaps`)).status).toBe(
      400,
    );
  });

  it("comes without place and camera when it is a photograph of a film, turned the right way up", async () => {
    const photo = await sharp({
      create: { width: 320, height: 200, channels: 3, background: "#808080" },
    })
      .withExif({ IFD0: { Model: "Plate 7", Artist: "Odo Owner" }, IFD3: { GPSLatitudeRef: "N" } })
      .withMetadata({ orientation: 6 })
      .jpeg()
      .toBuffer();
    const added = await uploadFilm(service, caseId, photo, {
      foot: "LH",
      takenAt: "2026-10-13T10:00:00Z",
    });
    expect(added.status).toBe(201);
    expect(added.body).toMatchObject({ mediaType: "image/jpeg", widthPx: 200, heightPx: 320 });
    const stripped = await bytesFrom(
      service.vet,
      `/radiographs/${added.body.id}/original?strip=true`,
    );
    const about = await sharp(stripped.bytes).metadata();
    expect(about).toMatchObject({ width: 200, height: 320 });
    expect(about.exif).toBeUndefined();
    expect((await sharp(photo).metadata()).exif).toBeDefined();
  });
});
