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
  const [takenOn = "", takenAtTime = ""] = row.takenAt.toISOString().slice(0, 19).split("T");
  const [writtenOn = "", writtenAtTime = ""] = set.placedAt.slice(0, 19).split("T");
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
    filmTakenOn: takenOn,
    filmTakenAtTime: takenAtTime,
    placedBy: set.placedBy.name,
    writtenOn,
    writtenAtTime,
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
    fileName: `measures-${row.foot}-set-${set.number}.dcm`,
  };
};
