import { addRadiograph, changeRadiograph, confirmSide, placeLandmarks } from "@heelward/contracts";
import { localDateOf } from "@heelward/domain/time";
import { POSITION_CARD_ITEMS } from "@heelward/domain/geometry";
import type { Film } from "@heelward/radiograph/film";
import { normalFrom, randomStream } from "@heelward/radiograph/phantom";
import * as radiographs from "../features/radiographs/service.ts";
import { Problem } from "../http/problem.ts";
import type { UploadedFile } from "../http/work.ts";
import { ZONE } from "./calendar.ts";
import { FILMS, FOOT_CONSTANTS, FRONT_VIEWS } from "./data/films.ts";
import { HORSES } from "./data/horses.ts";
import { OWNERS, PRACTICE } from "./data/practice.ts";
import type { FilmOrder } from "./draw-film.ts";
import type { DrawingBoard } from "./drawing-board.ts";
import { iso, known, type Telling } from "./story.ts";
import { vetOf } from "./who.ts";

/** One film to be drawn, uploaded and measured. */
interface FilmJob {
  readonly horse: string;
  readonly on: string;
  readonly foot: "LF" | "RF";
  readonly wedgeDegrees: number;
  readonly note: string;
  readonly subject: FilmOrder["subject"];
}

/** How far a careful hand misses a point, standard deviation; under the 0.4 mm that the rules assume. */
const HAND_MM = 0.2;
/** The sinker's films were read with the loupe: a change of 3.0 mm is to be told from the 2.8 that is error. */
const LOUPE_MM = 0.05;
/** Marks under which the bone would have changed shape are refused and placed again, by hand as on screen. */
const MOST_ATTEMPTS = 6;
const MARKER_MM = 100;
/** Films drawn and read ahead of the story, in threads of their own. */
const AHEAD = 4;

const sideViews = (): readonly FilmJob[] =>
  FILMS.map((row): FilmJob => {
    const [horse, on, foot, wedgeDegrees] = row;
    const constants = FOOT_CONSTANTS.find((one) => one[0] === horse && one[1] === foot);
    if (constants === undefined) throw new Error(`no foot constants of ${horse} ${foot}`);
    return {
      horse,
      on,
      foot,
      wedgeDegrees,
      note: row[14],
      subject: {
        view: "lateromedial",
        measures: {
          palmarAngleDegrees: row[4],
          boneFrontAngleDegrees: row[5],
          wallAngleDegrees: row[6],
          wallToBoneTopMm: row[8],
          wallToBoneBottomMm: row[9],
          soleTipMm: row[10],
          soleWingMm: row[11],
          founderDistanceMm: row[12],
          breakoverDistanceMm: row[13],
          solarLengthMm: constants[3],
          wallSpanMm: constants[4],
          wedgeDegrees,
        },
      },
    };
  });

const frontViews = (): readonly FilmJob[] =>
  FRONT_VIEWS.map((row): FilmJob => {
    const side = FILMS.find(
      (one) => one[0] === row.horse && one[1] === row.date && one[2] === row.foot,
    );
    return {
      horse: row.horse,
      on: row.date,
      foot: row.foot,
      wedgeDegrees: 0,
      note: "",
      subject: {
        view: "dorsopalmar",
        measures: {
          tiltDegrees: row.tilt_deg_medial_low,
          foraminaApartMm: row.foramina_apart_mm,
          jointSpaceMedialMm: row.joint_space_medial_mm,
          jointSpaceLateralMm: row.joint_space_lateral_mm,
          soleMiddleMm: side?.[10] ?? 16,
          wallMedialMm: 14,
          wallLateralMm: 16,
          markerLengthMm: MARKER_MM,
        },
      },
    };
  });

interface ReadyFilm {
  readonly file: UploadedFile;
  readonly film: Film;
  /** The marks of one attempt, each time a little different. */
  readonly mark: () => Record<string, { x: number; y: number }>;
}

const makeFilm = async (
  board: DrawingBoard,
  job: FilmJob,
  seed: number,
  takenOn: string,
  takenAtTime: string,
): Promise<ReadyFilm> => {
  const horse = HORSES.find((one) => one.id === job.horse);
  const owner = OWNERS.find((one) => one.horses.includes(job.horse));
  const { view } = job.subject;
  const drawn = await board.draw({
    subject: job.subject,
    seed,
    tags: {
      horseName: horse?.name ?? job.horse,
      horseId: job.horse,
      ownerName: owner?.name ?? "",
      breed: horse?.breed ?? "",
      sex: horse?.sex === "mare" ? "F" : "M",
      takenOn,
      takenAtTime,
      side: job.foot === "LF" ? "L" : "R",
      view,
      institution: PRACTICE.name,
    },
  });
  const file: UploadedFile = {
    fileName: `${(horse?.name ?? job.horse).toLowerCase().replaceAll(" ", "-")}-${job.foot}-${takenOn}${view === "dorsopalmar" ? "-front" : ""}.dcm`,
    mediaType: "application/dicom",
    bytes: drawn.bytes,
  };
  const random = randomStream(seed + 7919);
  const miss = (): number =>
    ((job.horse === "H13" ? LOUPE_MM : HAND_MM) / drawn.mmPerPx) * normalFrom(random);
  const mark = () =>
    Object.fromEntries(
      Object.entries(drawn.landmarksPx).map(([key, point]) => [
        key,
        { x: point.x + miss(), y: point.y + miss() },
      ]),
    );
  return { file, film: await radiographs.readUploadedFilm(file), mark };
};

/** When a film was taken, where the story says more than the day. */
const FILM_TIMES: Readonly<Record<string, string>> = {
  "H01 2026-07-08": "16:10",
  "H01 2026-08-14": "11:30",
  "H02 2026-08-27": "09:15",
  "H02 2026-09-28": "14:20",
  "H07 2025-10-16": "15:00",
  "H07 2026-06-20": "12:20",
  "H13 2026-02-16": "12:10",
  "H13 2026-02-20": "18:00",
  "H13 2026-02-24": "09:40",
  "H14 2026-05-08": "17:10",
  "H14 2026-07-06": "10:40",
  "H19 2026-04-03": "10:20",
  "H19 2026-04-20": "20:50",
  "H19 2026-06-01": "13:20",
};

const allPosition = POSITION_CARD_ITEMS.map((item) => item.key).join(",");

/** Every film of the year: drawn, written as DICOM, uploaded, scaled, its side confirmed, measured. */
export const tellOfFilms = (
  { calendar, perform, register, tell }: Telling,
  board: DrawingBoard,
): void => {
  const timeOf = (job: FilmJob): string => FILM_TIMES[`${job.horse} ${job.on}`] ?? "08:40";
  const jobs = [...sideViews(), ...frontViews()]
    .map((job, index) => ({ job, seed: index + 1, atMs: calendar.at(job.on, timeOf(job)) }))
    .toSorted((a, b) => a.atMs - b.atMs);
  const started: Promise<ReadyFilm>[] = [];
  const ready = (index: number): Promise<ReadyFilm> => {
    for (let next = started.length; next < Math.min(jobs.length, index + AHEAD); next += 1) {
      const one = jobs[next];
      if (one === undefined) break;
      const making = makeFilm(
        board,
        one.job,
        one.seed,
        localDateOf(one.atMs, ZONE),
        `${timeOf(one.job)}:00`,
      );
      // A failure is met where the film is used.
      making.catch(() => undefined);
      started.push(making);
    }
    const film = started[index];
    if (film === undefined) throw new Error("a film was asked for twice or out of order");
    return film;
  };
  for (const [index, { job, atMs }] of jobs.entries()) {
    tell(
      atMs,
      `film of ${job.horse} ${job.foot}`,
      async () => {
        const { file, film, mark } = await ready(index);
        // Each film is let go once it is stored.
        started[index] = Promise.reject(new Error("used already"));
        started[index].catch(() => undefined);
        const vet = vetOf(job.horse);
        const added = await perform(
          atMs,
          vet,
          addRadiograph,
          {
            params: { caseId: known(register.cases, job.horse) },
            body: {
              foot: job.foot,
              view: job.subject.view,
              takenAt: iso(atMs),
              wedgeDegrees: job.wedgeDegrees,
              beamCentring: "hoof-ground interface",
              // The wire in the block, which a wedge stands on too.
              groundLineOn: "ground",
              positionCard: allPosition,
            },
          },
          (work, { params, body }) => radiographs.add(work, params.caseId, file, film, body),
        );
        await perform(
          atMs,
          vet,
          changeRadiograph,
          {
            params: { radiographId: added.id },
            body: {
              scale: { kind: "marker", lengthMm: MARKER_MM, lengthStandardUncertaintyMm: 0.2 },
            },
          },
          (work, { params, body }) =>
            radiographs.change(work, params.radiographId, added.version, body),
        );
        await perform(
          atMs + 60_000,
          "N1",
          confirmSide,
          { params: { radiographId: added.id }, body: { foot: job.foot } },
          (work, { params, body }) =>
            radiographs.confirmSide(work, params.radiographId, added.version + 1, body.foot),
        );
        const place = async (attempt: number): Promise<void> => {
          try {
            await perform(
              atMs + (1 + attempt) * 60_000,
              vet,
              placeLandmarks,
              {
                params: { radiographId: added.id },
                body: { points: mark(), ...(job.note === "" ? {} : { note: job.note }) },
              },
              (work, { params, body }) => radiographs.placeSet(work, params.radiographId, body),
            );
          } catch (error) {
            const isRefused = error instanceof Problem && error.slug === "rule-violated";
            if (!isRefused || attempt >= MOST_ATTEMPTS) throw error;
            await place(attempt + 1);
          }
        };
        await place(1);
        if (job.subject.view === "lateromedial")
          register.films.set(`${job.horse} ${job.on} ${job.foot}`, added.id);
      },
      job.horse,
    );
  }
};
