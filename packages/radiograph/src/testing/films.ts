import type { WriteDicomTags } from "../dicom/write-dicom.ts";
import type { Film } from "../film/film.ts";
import { phantomFromMeasures, type RenderOptions } from "../phantom/index.ts";

/** A foot from the demonstration data: consistent readings of a chronic case. */
export const sampleMeasures = {
  palmarAngleDegrees: 8,
  boneFrontAngleDegrees: 55,
  wallAngleDegrees: 48.5,
  wallToBoneTopMm: 15.5,
  wallToBoneBottomMm: 19.5,
  soleTipMm: 13,
  soleWingMm: 20.5,
  founderDistanceMm: 10.5,
  breakoverDistanceMm: 14.5,
  solarLengthMm: 54,
  wallSpanMm: 34,
} as const;

/** A small side view: every detail of the full film at a quarter of its sides. */
export const smallFilm = (choices: Partial<RenderOptions> = {}): Film =>
  phantomFromMeasures(sampleMeasures, {
    render: { widthPx: 151, heightPx: 126, detectorPitchMm: 1.35, bitsStored: 12, ...choices },
  }).film;

export const sampleTags: WriteDicomTags = {
  horseName: "Marl Hopper",
  horseId: "H07",
  ownerName: "Isaura Blenkish",
  breed: "Connemara cross",
  sex: "F",
  isNeutered: false,
  bornOn: "2011-04-01",
  takenOn: "2026-06-20",
  takenAtTime: "10:15:00",
  side: "L",
  view: "lateromedial",
  institution: "Wrackline Hoof & Horse Partnership",
  sopInstanceUid: "2.25.1001",
  studyInstanceUid: "2.25.1002",
  seriesInstanceUid: "2.25.1003",
};
