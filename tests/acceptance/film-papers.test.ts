import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  addSeries,
  draftOn,
  MARL_HOPPER,
  newCase,
  openFilmRoom,
  plan,
  SHAPE,
  sign,
  SMALL,
  warnings,
  type FilmRoom,
  type Row,
} from "../support/film-room.ts";
import { bytesFrom, renderedFilm } from "../support/films.ts";
import { toolFolder, toolSays } from "../support/outside-tools.ts";
import type { TestPerson, TestService } from "../support/service.ts";
import { uploadFilm } from "../support/uploads.ts";

let room: FilmRoom;
let service: TestService;
const folder = toolFolder();

beforeAll(async () => {
  room = await openFilmRoom();
  ({ service } = room);
});
afterAll(async () => {
  folder.remove();
  await service.close();
});

describe("left and right, the position card, the age of a film", () => {
  // Reference: house rule, two people for left and right.
  it("keeps a film from owner and plan until somebody else has confirmed the side", async () => {
    const caseId = await newCase(room, "Row Ten");
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

  // Reference: the eight set-up items of POSITIONING_BOOK in the geometry's sources.
  it("lists each of the 8 items missed on the film and in the plan", async () => {
    const caseId = await newCase(room, "Row Eleven");
    const [filmId] = await addSeries(room, caseId, MARL_HOPPER.slice(-1), SHAPE.marlHopper);
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
    const drafted = await draftOn(room, caseId, [filmId!], [plan("LF")]);
    expect(drafted.findings).toContainEqual(
      expect.objectContaining({
        rule: "prescription/film-quality@1",
        detail: expect.stringContaining("Pin or marker at the frog tip"),
      }),
    );
  });

  it("shows a 20-day film in treatment amber with its age, on the plan and on paper", async () => {
    const caseId = await newCase(room, "Row Twelve");
    const row = MARL_HOPPER.at(-1)!;
    const [filmId] = await addSeries(
      room,
      caseId,
      [["2026-09-24", ...row.slice(1)] as unknown as Row],
      SHAPE.marlHopper,
    );
    const film = await service.vet.get(`/radiographs/${filmId}`);
    expect(film.body.ageDays).toBe(20);
    const drafted = await draftOn(room, caseId, [filmId!], [plan("LF")]);
    const stale = drafted.findings.find((one: { detail: string }) =>
      one.detail.includes("20 days old"),
    );
    // Fresh up to 14 days in treatment: a house rule, see FILM_AGE_TREATMENT.
    expect(stale).toMatchObject({ outcome: "warn", rule: expect.stringContaining("film-age") });
    const refused = await sign(room, drafted, warnings(drafted.findings, stale.rule));
    expect(refused.status).toBe(422);
    const page = await bytesFrom(service.farrier, `/radiographs/${filmId}/report.pdf`);
    expect(toolSays("pdftotext", folder.write("old.pdf", page.bytes), "-")).toContain(
      "film 20 days old",
    );
  });
});

// Reference: poppler's and libvips' own pixels.
describe("drawing on the film", () => {
  it("shows a drawn line in the same place in data, on the picture and on paper", async () => {
    const caseId = await newCase(room, "Row Fifteen");
    const [filmId] = await addSeries(room, caseId, MARL_HOPPER.slice(-1), SHAPE.marlHopper);
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
    const caseId = await newCase(room, "Row Fifteen Again");
    const [filmId] = await addSeries(room, caseId, MARL_HOPPER.slice(-1), SHAPE.marlHopper);
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
