import type {
  FilmOutline,
  LandmarkSetView,
  MeasurementView,
  RadiographView,
} from "@heelward/contracts";
import { type ConstructionLine, type MeasureKey } from "@heelward/domain/geometry";
import type { Film } from "@heelward/radiograph/film";
import { readPractice } from "../../people/practice.ts";
import * as cases from "../../cases/service.ts";
import type { Work } from "../../../http/work.ts";
import { linesOf } from "../measure.ts";
import * as outlines from "../outlines.ts";
import { findRow, read } from "../service.ts";
import * as store from "../store.ts";
import { viewLandmarkSet } from "../view.ts";

/** 95 % coverage of a normal distribution. source: JCGM 100:2008 §6.3. */
const COVERAGE = 1.96;

/** A construction line with the number under which its measure stands in the table. */
export interface NumberedLine extends ConstructionLine<MeasureKey> {
  readonly number: number;
}

/** One line of the table of measures, in words and figures as people read them. */
export interface TableRow {
  /** Number of the line on the film; empty where none is drawn. */
  readonly number: string;
  readonly label: string;
  readonly value: string;
  readonly plusMinus: string;
  readonly isOutside: boolean;
}

/** Everything the picture and the page say about one film. */
export interface FilmSheet {
  readonly practiceName: string;
  readonly horseName: string;
  readonly caseNumber: number;
  readonly film: RadiographView;
  readonly set: LandmarkSetView | null;
  readonly outlines: readonly FilmOutline[];
  readonly lines: readonly NumberedLine[];
  readonly table: readonly TableRow[];
  /** Heading, film facts, who placed and confirmed, in reading order. */
  readonly title: string;
  readonly facts: readonly string[];
  readonly cautions: readonly string[];
  readonly provenance: readonly string[];
}

const DIGITS = { mm: 1, deg: 1, ratio: 2, "%": 1 } as const;
const UNIT = { mm: " mm", deg: "°", ratio: "", "%": " %" } as const;
const FOOT = { LF: "left fore", RF: "right fore", LH: "left hind", RH: "right hind" } as const;
const VIEW = { lateromedial: "side view", dorsopalmar: "front view" } as const;

/** A value as printed; a true minus sign, so that it cannot be taken for a dash. */
const figure = (value: number, unit: MeasurementView["unit"]): string =>
  `${value
    .toFixed(DIGITS[unit])
    .replace(/^-(?=.*[1-9])/u, "−")
    .replace(/^-/u, "")}${UNIT[unit]}`;

const tableRow = (one: MeasurementView, lines: readonly NumberedLine[]): TableRow => {
  const line = lines.find(({ measure }) => measure === one.key);
  return {
    number: line === undefined ? "" : String(line.number),
    label: one.label,
    value: one.value === null ? "not given" : figure(one.value, one.unit),
    plusMinus:
      one.value === null || one.standardUncertainty === null
        ? ""
        : `± ${figure(COVERAGE * one.standardUncertainty, one.unit)}`,
    isOutside: one.verdict === "outside",
  };
};

const inZone = (iso: string, timeZone: string): string =>
  new Intl.DateTimeFormat("en-GB", {
    dateStyle: "medium",
    timeStyle: "short",
    timeZone,
  }).format(new Date(iso));

/** A finding as a sentence of its own. */
const sentence = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

const shadowMeasures = (one: FilmOutline): readonly MeasurementView[] =>
  one.measurements.map((measure) => ({
    ...measure,
    label: `Shadow: ${measure.label.charAt(0).toLowerCase()}${measure.label.slice(1)}`,
  }));

/** A film with its latest marks, drawings and everything that must be said beside them. */
export const readSheet = async (work: Work, radiographId: string): Promise<FilmSheet> => {
  const row = await findRow(work, radiographId);
  const found = await cases.read(work, row.caseId);
  const practice = await readPractice(work);
  const [latest] = await store.findLandmarkSets(work.tx, {
    radiographIds: [row.id],
    latestOnly: true,
  });
  const set = latest === undefined ? null : viewLandmarkSet(latest);
  const film = await read(work, radiographId);
  const drawn = (await outlines.list(work, radiographId)).items;
  const lines = (set === null ? [] : linesOf(row.view, set.points)).map((line, index) => ({
    ...line,
    number: index + 1,
  }));
  const when = (iso: string) => inZone(iso, row.timeZone);
  const shadow = drawn.filter(({ kind }) => kind === "lucent line");
  return {
    practiceName: practice.name,
    horseName: found.horse.name,
    caseNumber: found.number,
    film,
    set,
    outlines: drawn,
    lines,
    table: [...(set?.measurements ?? []), ...shadow.flatMap(shadowMeasures)].map((one) =>
      tableRow(one, lines),
    ),
    title: `${found.horse.name}: ${FOOT[row.foot]}, ${VIEW[row.view]}`,
    facts: [
      `Case ${found.number}. Film taken ${when(film.takenAt)}; ${film.ageText}.`,
      `${row.shod ? "Shod" : "Not shod"}; ${row.wedgeDegrees === 0 ? "no wedge under the foot" : `wedge under the foot ${figure(row.wedgeDegrees, "deg")} (angles to the ground still carry it)`}; beam centred on: ${row.beamCentring}.`,
      film.hasMillimetres
        ? `Scale: ${film.scale.kind === "marker" ? "marker of known length" : "stated spacing"}.`
        : "No scale: lengths are not given and cannot enter a plan.",
    ],
    cautions: [
      ...(film.sideConfirmedAt === null
        ? ["Left or right is not confirmed by a second person: not for release, not for a plan."]
        : []),
      ...(film.ageState === "fresh" ? [] : [`Stale: ${film.ageText}.`]),
      ...[...(set?.findings ?? []), ...shadow.flatMap((one) => one.findings)]
        .filter(({ outcome }) => outcome !== "pass")
        .map(({ detail }) => sentence(detail)),
      "± is the half-width of the 95 % interval. Computed from marks placed by a person; a licensed vet or farrier decides.",
    ],
    provenance: [
      set === null
        ? "No landmarks placed yet."
        : `Landmarks placed by ${set.placedBy.name}, set ${set.number}, ${when(set.placedAt)}.`,
      film.sideConfirmedBy === null || film.sideConfirmedAt === null
        ? `Film added by ${film.addedBy.name}; side not confirmed.`
        : `Film added by ${film.addedBy.name}; side confirmed by ${film.sideConfirmedBy.name}, ${when(film.sideConfirmedAt)}.`,
      ...drawn.map(
        (one) =>
          `${sentence(one.kind)}${one.label === null ? "" : ` (${one.label})`} drawn by ${one.drawnBy.name}, ${when(one.drawnAt)}.`,
      ),
      `File SHA-256 ${film.sha256}. Film record version ${film.version}. Made ${when(new Date(work.nowMs).toISOString())}.`,
    ],
  };
};

/** The stored grey values of a film as the pictures are made from. */
export const readStoredFilm = async (work: Work, radiographId: string): Promise<Film> => {
  const row = await findRow(work, radiographId);
  const bytes = await work.blobs.get(row.pixelsKey);
  const pixels = new Uint16Array(bytes.slice().buffer);
  return { ...(row.film as Omit<Film, "pixels">), pixels };
};
