import type { CaseFile } from "@heelward/contracts";
import type { Film } from "@heelward/radiograph/film";
import { renderFilm } from "@heelward/radiograph/raster";
import { streamZip } from "../../archive/zip.ts";
import { hasRole } from "../../http/actor.ts";
import type { Bytes } from "../../http/route.ts";
import type { Work } from "../../http/work.ts";
import * as casefile from "../casefile/service.ts";
import * as cases from "../cases/service.ts";
import { momentText } from "../medication/local-time.ts";
import { medicineRecordCsv } from "../medication/print/medicine-record.ts";
import { taggedPage, type Block } from "../medication/print/tagged-page.ts";
import { readPractice } from "../people/practice.ts";
import { annotatedPicture } from "../radiographs/export/annotated-picture.ts";
import { readSheet, type FilmSheet } from "../radiographs/export/film-sheet.ts";
import { measurementsCsv } from "../radiographs/export/measurements-csv.ts";
import { findRow } from "../radiographs/service.ts";
import { withoutNames, withoutOwner } from "./leave-out-owner.ts";

const MOST_EVENTS = 2000;

const README = `A case for a second opinion.

chronology.pdf             what happened, oldest first, to read
chronology.json            the same, and horse, plans and weights, for programs
films/<n>-...-plain.png    each film without marks
films/<n>-...-marked.png   the same film with marks, lines and measures, where it was measured
measures.csv               every measure of every film
doses.csv                  every medicine given (not in a farrier's pack)
photos/                    photos, oldest first

Names, addresses and numbers of the owner are left out unless the pack was asked for with them;
pictures are as they were taken. It computes and diagnoses nothing: whoever gives the opinion
examines, or says that they have not.
`;

const wholeTimeline = async (work: Work, caseId: string): Promise<CaseFile["timeline"]> => {
  const events: CaseFile["timeline"] = [];
  let cursor: string | undefined;
  do {
    // Each page begins where the one before ended.
    // oxlint-disable-next-line no-await-in-loop
    const page = await cases.timeline(work, caseId, { limit: 200, cursor });
    events.push(...page.items);
    cursor = page.nextCursor ?? undefined;
  } while (cursor !== undefined && events.length < MOST_EVENTS);
  return events.toReversed();
};

const chronologyOf = (file: CaseFile, events: CaseFile["timeline"], withOwner: boolean) => ({
  case: {
    number: file.case.number,
    phase: file.case.phase,
    cause: file.case.cause,
    causeConfidence: file.case.causeConfidence,
    onsetAt: file.case.onsetAt,
    openedAt: file.case.openedAt,
    feetAffected: file.case.feetAffected,
    summary: file.case.summary,
  },
  horse: {
    name: file.horse.name,
    type: file.horse.type,
    breed: file.horse.breed,
    sex: file.horse.sex,
    bornOn: file.horse.bornOn,
    heightCm: file.horse.heightCm,
    conditions: file.horse.conditions,
  },
  ...(withOwner ? { owners: file.horse.owners.map(({ name }) => name) } : {}),
  medicinesRunning: file.medicineNames,
  weighings: file.weighings.map(({ weighedAt, weightKg, method }) => ({
    weighedAt,
    weightKg,
    method,
  })),
  plans: file.prescriptions.map(({ number, status, aim, feet, signedAt }) => ({
    number,
    status,
    aim,
    signedAt,
    feet,
  })),
  events: events.map(({ at, kind, title, detail, person }) => ({
    at,
    kind,
    title,
    detail,
    by: person?.name ?? null,
  })),
});
type Chronology = ReturnType<typeof chronologyOf>;

const pageOf = (chronology: Chronology, timeZone: string, madeAt: string): readonly Block[] => [
  {
    kind: "title",
    text: `Second opinion: ${chronology.horse.name}, case ${String(chronology.case.number)}`,
  },
  { kind: "text", text: `Made ${madeAt}. Times are those of the yard.` },
  {
    kind: "caution",
    text: "Computed figures carry errors; see measures.csv. This pack diagnoses nothing; a licensed vet decides, and says whether the horse was examined.",
  },
  {
    kind: "pair",
    label: "Horse",
    text: [
      chronology.horse.type,
      chronology.horse.breed,
      chronology.horse.sex,
      chronology.horse.bornOn === null ? null : `born ${chronology.horse.bornOn}`,
    ]
      .filter((one) => one !== null)
      .join(", "),
  },
  { kind: "pair", label: "Cause", text: chronology.case.cause ?? "not known" },
  { kind: "pair", label: "Feet affected", text: chronology.case.feetAffected.join(", ") || "none" },
  {
    kind: "pair",
    label: "Medicines running",
    text: chronology.medicinesRunning.join(", ") || "none",
  },
  ...(chronology.owners === undefined
    ? []
    : [{ kind: "pair", label: "Owner", text: chronology.owners.join(", ") } as const]),
  { kind: "heading", text: "Chronology" },
  ...chronology.events.map(({ at, title, detail, by }): Block => ({
    kind: "pair",
    label: momentText(Date.parse(at), timeZone),
    text: [title, detail, by === null ? null : `(${by})`].filter((one) => one !== null).join(" "),
  })),
];

/** JSON with every text changed by `change`. */
const mapTexts = (value: unknown, change: (text: string) => string): unknown =>
  typeof value === "string"
    ? change(value)
    : Array.isArray(value)
      ? value.map((one) => mapTexts(one, change))
      : value !== null && typeof value === "object"
        ? Object.fromEntries(
            Object.entries(value).map(([key, one]) => [key, mapTexts(one, change)]),
          )
        : value;

const textOf = ({ bytes }: Bytes): string => {
  if (!(bytes instanceof Uint8Array)) throw new Error("a table is held whole, not sent on its way");
  return Buffer.from(bytes).toString("utf8");
};

/**
 * Everything another vet or farrier needs to form a view of a case, as one ZIP. Rows are read in the
 * request's transaction; films and photos, which never change, are drawn while the file is on its way.
 */
export const secondOpinionPack = async (
  work: Work,
  caseId: string,
  withOwner: boolean,
): Promise<Bytes> => {
  const file = await casefile.read(work, caseId);
  const { horse } = file.case;
  const { blobs, tx } = work;
  const names = file.horse.owners.map(({ name }) => name);
  const clean = withOwner ? (text: string) => text : withoutOwner(names);
  const cleanTable = withOwner ? (text: string) => text : withoutNames(names);
  const chronology = mapTexts(
    chronologyOf(file, await wholeTimeline(work, caseId), withOwner),
    clean,
  ) as Chronology;
  const practice = await readPractice(work);
  const { timeZone } = file.horse.yard;
  const pdf = await taggedPage(
    {
      title: `Second opinion: ${horse.name}`,
      author: practice.name,
      madeAtMs: work.nowMs,
    },
    pageOf(chronology, timeZone, momentText(work.nowMs, timeZone)),
  );
  const measures = cleanTable(textOf(await measurementsCsv(work, caseId)));
  const doses = hasRole(work.actor, "vet")
    ? cleanTable(textOf(await medicineRecordCsv(work, horse.id, {})))
    : undefined;
  const films: {
    readonly row: Awaited<ReturnType<typeof findRow>>;
    readonly sheet: FilmSheet;
  }[] = [];
  for (const { id } of file.radiographs.toReversed())
    films.push({
      // One transaction has one connection.
      // oxlint-disable-next-line no-await-in-loop
      row: await findRow(work, id),
      // oxlint-disable-next-line no-await-in-loop
      sheet: await readSheet(work, id),
    });
  const photos = await tx.document.findMany({
    where: { horseId: horse.id, mediaType: "image/jpeg" },
    orderBy: [{ takenAt: "asc" }, { id: "asc" }],
    select: { blobKey: true, takenAt: true, photoView: true },
  });
  work.audit({
    event: "case.second-opinion",
    subjectType: "case",
    subjectId: caseId,
    horseId: horse.id,
    payload: { withOwner },
  });
  const bytes = streamZip(async (zip) => {
    await zip.add("README.txt", Buffer.from(README, "utf8"));
    await zip.add("chronology.pdf", pdf);
    await zip.add("chronology.json", Buffer.from(JSON.stringify(chronology, null, 2), "utf8"));
    await zip.add("measures.csv", Buffer.from(measures, "utf8"));
    if (doses !== undefined) await zip.add("doses.csv", Buffer.from(doses, "utf8"));
    // Held one at a time: films are large.
    // oxlint-disable no-await-in-loop
    for (const [index, { row, sheet }] of films.entries()) {
      const pixels = await blobs.get(row.pixelsKey);
      const film = {
        ...(row.film as Omit<Film, "pixels">),
        pixels: new Uint16Array(pixels.slice().buffer),
      };
      const name = `films/${String(index + 1).padStart(3, "0")}-${row.takenAt.toISOString().slice(0, 10)}-${row.foot}-${row.view}`;
      await zip.add(`${name}-plain.png`, await renderFilm(film, { format: "png" }));
      if (sheet.set !== null)
        await zip.add(`${name}-marked.png`, await annotatedPicture(sheet, film));
    }
    for (const [index, photo] of photos.entries())
      await zip.add(
        `photos/${String(index + 1).padStart(3, "0")}-${photo.takenAt.toISOString().slice(0, 10)}${photo.photoView === null ? "" : `-${photo.photoView.replaceAll(" ", "-")}`}.jpg`,
        await blobs.get(photo.blobKey),
      );
    // oxlint-enable no-await-in-loop
  });
  return {
    bytes,
    mediaType: "application/zip",
    fileName: `second-opinion-case-${String(file.case.number)}.zip`,
    isMade: true,
  };
};
