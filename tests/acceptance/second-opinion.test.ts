import { execFileSync } from "node:child_process";
import { readdirSync } from "node:fs";
import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  addSeries,
  newCase,
  openFilmRoom,
  SHAPE,
  THIMBLE,
  type FilmRoom,
} from "../support/film-room.ts";
import { toolFolder, toolSays } from "../support/outside-tools.ts";
import type { TestPerson } from "../support/service.ts";
import { uploadPhoto } from "../support/uploads.ts";

/** The pack is opened with Python's zipfile, its pages read with poppler, its pictures with Pillow. */
let room: FilmRoom;
let caseId: string;
let horseId: string;
const folder = toolFolder();

beforeAll(async () => {
  room = await openFilmRoom();
  const { service } = room;
  caseId = await newCase(room, "Thimble");
  horseId = (await service.vet.get(`/cases/${caseId}`)).body.horse.id;
  await service.query(
    "INSERT INTO horse_people (practice_id, horse_id, person_id) VALUES ($1, $2, $3)",
    [service.practiceId, horseId, service.owner.id],
  );
  await addSeries(room, caseId, THIMBLE, SHAPE.thimble);
  const photo = await uploadPhoto(
    service,
    horseId,
    await sharp({ create: { width: 8, height: 8, channels: 3, background: "#765" } })
      .png()
      .toBuffer(),
  );
  if (photo.status !== 201) throw new Error(photo.text);
  const version = (await service.vet.get(`/cases/${caseId}`)).body.version as number;
  const changed = await service.vet.send(
    "post",
    `/cases/${caseId}/phase`,
    {
      phase: "maintenance",
      reason: "Odo Owner rang from +353 1 234 5678: comfortable at the walk",
      mustDo: "Keep the interval",
    },
    version,
  );
  if (changed.status !== 200) throw new Error(changed.text);
});
afterAll(async () => {
  await room.service.close();
  folder.remove();
});

/** The pack on disk, unzipped by a program of others. */
const unpack = async (person: TestPerson, name: string, query = ""): Promise<string> => {
  const answer = await person.get(`/cases/${caseId}/second-opinion${query}`).responseType("blob");
  expect(answer.status).toBe(200);
  const zip = folder.write(`${name}.zip`, answer.body as Buffer);
  expect(toolSays("python3", "-m", "zipfile", "-t", zip).trim()).toBe("Done testing");
  execFileSync("python3", ["-m", "zipfile", "-e", zip, folder.path(name)]);
  return name;
};
const textOf = (path: string): string => folder.read(path).toString("utf8");
/** Kind and size of a picture as Pillow reads every pixel of it. */
const pictureKind = (path: string): string =>
  execFileSync(
    "/usr/bin/python3",
    [
      "-c",
      "import sys; from PIL import Image; i = Image.open(sys.argv[1]); i.load(); print(i.format)",
      folder.path(path),
    ],
    { encoding: "utf8" },
  ).trim();
const pdfText = (name: string): string =>
  toolSays("pdftotext", "-layout", folder.path(`${name}/chronology.pdf`), "-");

describe("the pack for a second opinion", () => {
  it("holds each film with marks and without, series, doses, photos and the chronology, each readable by others' programs", async () => {
    const name = await unpack(room.service.vet, "vet");
    const films = readdirSync(folder.path(`${name}/films`)).toSorted();
    expect(films.map((file) => file.replace(/^\d+-[\d-]+-/u, ""))).toEqual([
      "LF-lateromedial-marked.png",
      "LF-lateromedial-plain.png",
      "LF-lateromedial-marked.png",
      "LF-lateromedial-plain.png",
    ]);
    for (const file of films) expect(pictureKind(`${name}/films/${file}`)).toBe("PNG");
    const measures = textOf(`${name}/measures.csv`);
    expect(measures).toContain("Capsular rotation");
    expect(textOf(`${name}/doses.csv`).split(/\r?\n/u)[0]).toContain("dose mg");
    const photos = readdirSync(folder.path(`${name}/photos`));
    expect(photos).toHaveLength(1);
    expect(pictureKind(`${name}/photos/${String(photos[0])}`)).toBe("JPEG");
    const chronology = JSON.parse(textOf(`${name}/chronology.json`)) as {
      horse: { name: string };
      events: { at: string; title: string }[];
    };
    expect(chronology.horse.name).toBe("Thimble");
    const times = chronology.events.map(({ at }) => Date.parse(at));
    expect(times).toEqual(times.toSorted((a, b) => a - b));
    const text = pdfText(name).replaceAll(/\s+/gu, " ");
    expect(text).toContain("Second opinion: Thimble");
    expect(text).toContain("From chronic active to maintenance");
  });

  it("leaves out the owner's name and number by default, and carries the name when asked to", async () => {
    const name = await unpack(room.service.vet, "without");
    const all = [
      textOf(`${name}/chronology.json`),
      textOf(`${name}/doses.csv`),
      pdfText(name),
    ].join();
    expect(all).toContain("the owner rang from [number left out]");
    expect(all).not.toMatch(/Odo|234 5678/u);
    const withOwner = await unpack(room.service.vet, "with", "?withOwner=true");
    expect(textOf(`${withOwner}/chronology.json`)).toContain("Odo Owner rang from +353 1 234 5678");
  });

  it("holds no doses for a farrier", async () => {
    await room.service.query("UPDATE horses SET farrier_id = $2 WHERE id = $1", [
      horseId,
      room.service.farrier.id,
    ]);
    const name = await unpack(room.service.farrier, "farrier");
    expect(readdirSync(folder.path(name)).toSorted()).toEqual([
      "README.txt",
      "chronology.json",
      "chronology.pdf",
      "films",
      "measures.csv",
      "photos",
    ]);
  });
});
