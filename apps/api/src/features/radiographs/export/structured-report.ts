import { localDateOf } from "@heelward/domain/time";
import { filmReferenceOf, writeStructuredReport } from "@heelward/radiograph/structured-report";
import { Problem } from "../../../http/problem.ts";
import type { Bytes } from "../../../http/route.ts";
import type { Work } from "../../../http/work.ts";
import * as horses from "../../horses/service.ts";
import { readSheet } from "./film-sheet.ts";
import { findRow } from "../service.ts";

/** A UUID as a DICOM identifier. source: DICOM PS3.5 §B.2. */
const uidOf = (uuid: string): string => `2.25.${BigInt(`0x${uuid.replaceAll("-", "")}`)}`;

const SEX = { mare: "F", gelding: "M", stallion: "M" } as const;

/** Date and clock time as the yard reads them; a film's own entries are local times too. */
const clockOf = (at: Date, timeZone: string): { readonly on: string; readonly atTime: string } => ({
  on: localDateOf(at.getTime(), timeZone),
  atTime: new Intl.DateTimeFormat("en-GB", { timeZone, timeStyle: "medium" }).format(at),
});

/** The latest measures of a film as a structured report. @throws Problem when nothing is measured. */
export const structuredReport = async (work: Work, radiographId: string): Promise<Bytes> => {
  const row = await findRow(work, radiographId);
  const sheet = await readSheet(work, radiographId);
  const { set, lines } = sheet;
  const given = (set?.measurements ?? []).flatMap((one) =>
    one.value === null || one.standardUncertainty === null
      ? []
      : [{ ...one, value: one.value, standardUncertainty: one.standardUncertainty }],
  );
  if (set === null || given.length === 0)
    throw new Problem("conflict", "Nothing is measured on this film yet.");
  const horse = await horses.read(work, row.horseId);
  const film = filmReferenceOf(await work.blobs.get(row.blobKey));
  const taken = clockOf(row.takenAt, row.timeZone);
  const written = clockOf(new Date(set.placedAt), row.timeZone);
  const bytes = writeStructuredReport({
    patient: {
      horseName: horse.name,
      horseId: horse.microchip ?? horse.ueln ?? horse.id,
      sex: SEX[horse.sex],
      isNeutered: horse.sex === "gelding",
      ...(horse.breed === null ? {} : { breed: horse.breed }),
      ...(horse.bornOn === null ? {} : { bornOn: horse.bornOn }),
    },
    ...(film === undefined ? {} : { film }),
    side: row.foot.startsWith("L") ? "L" : "R",
    isHindLimb: row.foot.endsWith("H"),
    filmTakenOn: taken.on,
    filmTakenAtTime: taken.atTime,
    placedBy: set.placedBy.name,
    writtenOn: written.on,
    writtenAtTime: written.atTime,
    trackingId: `${row.foot} ${row.view}, set ${set.number}`,
    trackingUid: uidOf(set.id),
    measurements: given.map((one) => {
      const line = lines.find(({ measure }) => measure === one.key);
      return {
        key: one.key,
        label: one.label,
        value: one.value,
        unit: one.unit,
        standardUncertainty: one.standardUncertainty,
        ...(line === undefined ? {} : { line: { from: line.from, to: line.to } }),
      };
    }),
    cautions: sheet.cautions,
  });
  return {
    bytes,
    mediaType: "application/dicom",
    isMade: true,
    fileName: `measures-${row.foot}-set-${set.number}.dcm`,
  };
};
