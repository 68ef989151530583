import type { FootPlanView, Prescription } from "@heelward/contracts";
import { filmAge } from "@heelward/domain/geometry";
import { forecastBreakover, suggestReset } from "@heelward/domain/growth";
import { addDays, localDateOf } from "@heelward/domain/time";
import {
  findFill,
  findFixing,
  findShoe,
  isCurrentPrescription,
  ontoFilm,
  planOutline,
  trimOutcome,
  type OntoFilm,
  type PlanOutline,
  type TrimInput,
} from "@heelward/domain/trim";
import type { Film } from "@heelward/radiograph/film";
import type { Work } from "../../../http/work.ts";
import * as cases from "../../cases/service.ts";
import * as horses from "../../horses/service.ts";
import { readPractice } from "../../people/practice.ts";
import { readStoredFilm } from "../../radiographs/export/film-sheet.ts";
import { filmFigures } from "../../radiographs/reading-figures.ts";
import { scaleOf } from "../../radiographs/view.ts";
import { plannerFigures, type PlannerFigures } from "../figures.ts";
import { filmsOfPlan, type FilmWithBefore } from "../film-measures.ts";
import { plannerInput } from "../planner-input.ts";
import { read } from "../views.ts";

/** Both drawings of a foot: lines over its film, and the foot from below. */
export interface FootDrawing {
  readonly film: Film;
  readonly place: OntoFilm;
  readonly landmarks: readonly { readonly x: number; readonly y: number }[];
  readonly outline: PlanOutline;
}

/** One foot as the page shows it. */
export interface FootOnPaper {
  readonly foot: FootPlanView["foot"];
  readonly name: string;
  /** The three figures to cut by, large. */
  readonly large: readonly { readonly label: string; readonly value: string }[];
  readonly plan: FootPlanView;
  readonly drawing: FootDrawing | null;
  readonly noDrawing: string;
}

/** Everything the page of a plan says, in words and figures. */
export interface PlanSheet {
  readonly title: string;
  readonly practiceName: string;
  readonly phone: string;
  readonly standing: string;
  /** Written across the page unless this is the signed plan in force. */
  readonly watermark: string | null;
  readonly aim: string;
  readonly doNots: readonly string[];
  readonly feet: readonly FootOnPaper[];
  /** Label, then one cell for each foot. */
  readonly table: readonly (readonly string[])[];
  readonly lines: readonly (readonly [label: string, text: string])[];
  readonly cautions: readonly string[];
  readonly provenance: string;
  readonly caseUrl: string;
}

const FOOT = { LF: "Left fore", RF: "Right fore", LH: "Left hind", RH: "Right hind" } as const;
const WHOLE_FOOT = ["coronaryBand", "coronaryBandHeel", "extensorProcess", "groundToe", "heel"];

/** A figure to a tenth with a true minus sign, whole ones without a nought: the record's own figure. */
const figure = (value: number): string =>
  String(Math.round(value * 10) / 10).replace(/^-/u, "\u2212");
const mm = (value: number): string => `${figure(value)} mm`;

const WATERMARKS: Readonly<Record<Prescription["status"], string | null>> = {
  draft: "DRAFT, NOT SIGNED",
  signed: null,
  accepted: null,
  queried: null,
  done: null,
  declined: "DECLINED",
  superseded: "REPLACED",
  withdrawn: "WITHDRAWN",
};

const standingOf = (plan: Prescription, inZone: (iso: string) => string): string => {
  if (plan.status === "draft") return "DRAFT, not signed: do not work from this.";
  if (plan.status === "superseded") return "REPLACED by a newer plan: do not work from this.";
  if (plan.status === "withdrawn") return "WITHDRAWN: do not work from this.";
  if (plan.status === "declined") return "DECLINED by the farrier: do not work from this.";
  return `Signed by ${plan.signedBy?.name ?? ""}, ${plan.signedAt === null ? "" : inZone(plan.signedAt)}. Plan in force.`;
};

interface PreparedFoot {
  readonly onPaper: FootOnPaper;
  readonly input: TrimInput | null;
}

const largeOf = (plan: FootPlanView): FootOnPaper["large"] => [
  plan.breakoverFromFrogTipMm === null
    ? { label: "Breakover ahead of P3", value: mm(plan.breakoverFromP3TipMm) }
    : { label: "Breakover from frog tip", value: mm(plan.breakoverFromFrogTipMm) },
  { label: "Toe back", value: mm(plan.toeBackMm) },
  { label: "Heels off", value: mm(plan.heelRemoveMm) },
];

const prepareFoot = async (
  work: Work,
  foot: FootPlanView,
  film: FilmWithBefore | undefined,
  about: {
    readonly plan: Prescription;
    readonly phase: Parameters<typeof plannerInput>[2]["phase"];
    readonly horse: Parameters<typeof plannerInput>[2]["horse"];
    readonly figures: PlannerFigures;
  },
): Promise<PreparedFoot> => {
  const base = { foot: foot.foot, name: FOOT[foot.foot], large: largeOf(foot), plan: foot };
  const bare = (why: string): PreparedFoot => ({
    onPaper: { ...base, drawing: null, noDrawing: why },
    input: null,
  });
  if (film === undefined) return bare("No measured film: nothing is drawn to scale.");
  const prepared = await plannerInput(work, film, {
    foot: foot.foot,
    phase: about.phase,
    horse: about.horse,
    figures: about.figures,
    wishes: {
      ...foot,
      emergency: about.plan.conditions.emergency,
      intervalDays: about.plan.intervalDays,
    },
  });
  const { row, set } = film.film;
  const place = ontoFilm(set.points, scaleOf(row));
  if (!prepared.ok || place === undefined)
    return bare(prepared.ok ? "The film has no scale." : (prepared.findings[0]?.detail ?? ""));
  return {
    input: prepared.input,
    onPaper: {
      ...base,
      noDrawing: "",
      drawing: {
        film: await readStoredFilm(work, row.id),
        place,
        landmarks: WHOLE_FOOT.flatMap((key) => set.points[key] ?? []),
        outline: planOutline(prepared.input, foot),
      },
    },
  };
};

/** What growth makes of a foot by the day of its next reset. */
const forecastOf = (foot: FootPlanView, input: TrimInput | null): string => {
  if (input?.growth === undefined) return "no growth figures or no limit";
  const { limitMm, ...growth } = input.growth;
  const wedge = input.measures.wedgeInPlaceDegrees ?? 0;
  const from = {
    ...growth,
    breakoverAfterMm: foot.breakoverFromP3TipMm,
    wallAngleDegrees: input.measures.dorsalWallAngleDegrees.value - wedge,
  };
  const days = Math.min(input.intervalDays, input.ceilingDays);
  const day = forecastBreakover(from, days);
  const { limit, pastLimitAtStart } = suggestReset(
    from,
    limitMm,
    input.intervalDays,
    input.ceilingDays,
  );
  const reach = pastLimitAtStart
    ? `; limit ${mm(limitMm)} is passed already: in stages`
    : limit.early === null
      ? `; stays under the limit of ${mm(limitMm)}`
      : `; limit ${mm(limitMm)} met from day ${limit.early.day}${limit.mid === null ? "" : `, likely day ${limit.mid.day}`}`;
  return `day ${days}: ${mm(day.mid)} (${figure(day.low10)} to ${figure(day.high90)})${reach}`;
};

const tableOf = (
  feet: readonly PreparedFoot[],
  figures: PlannerFigures,
): readonly (readonly string[])[] => {
  const row = (
    label: string,
    cell: (foot: FootPlanView, input: TrimInput | null) => string,
  ): readonly string[] => [label, ...feet.map((one) => cell(one.onPaper.plan, one.input))];
  const own = figures.catalogue;
  const rows = [
    row("Breakover from the tip of the frog", (foot) =>
      foot.breakoverFromFrogTipMm === null ? "not marked" : mm(foot.breakoverFromFrogTipMm),
    ),
    row("Breakover ahead of the tip of P3", (foot, input) =>
      input === null
        ? mm(foot.breakoverFromP3TipMm)
        : `${figure(input.measures.breakoverDistanceMm.value)} now, ${mm(foot.breakoverFromP3TipMm)} after`,
    ),
    row("Toe back at the ground", (foot) => mm(foot.toeBackMm)),
    row("Heels off", (foot) => mm(foot.heelRemoveMm)),
    row("Palmar angle", (foot, input) => {
      const { low, high } = foot.palmarAngleTargetDegrees;
      const wanted = `wanted ${figure(low)} to ${figure(high)}\u00b0`;
      if (input === null) return wanted;
      const now =
        input.measures.palmarAngleDegrees.value - (input.measures.wedgeInPlaceDegrees ?? 0);
      return `${figure(now)} now, ${figure(trimOutcome(input, foot).after.palmarAngleDegrees)}\u00b0 after, ${wanted}`;
    }),
    row("Sole that stays, tip and wing", (foot, input) => {
      const keep = `keep at least ${mm(foot.soleMinMm)}`;
      if (input === null) return keep;
      const { after } = trimOutcome(input, foot);
      return `${figure(after.soleTipMm.valueMm)} and ${mm(after.soleWingMm.valueMm)}; ${keep}`;
    }),
    row("Shoe", (foot) => findShoe(foot.shoe, own)?.name ?? foot.shoe),
    row("Support fill", (foot) => findFill(foot.supportFill, own)?.name ?? foot.supportFill),
    row("Fixing", (foot) => findFixing(foot.fixing, own)?.name ?? foot.fixing),
    row("Heel raise", (foot) =>
      foot.wedgeDegrees > 0
        ? `${figure(foot.wedgeDegrees)}\u00b0: ${foot.wedgeReason ?? ""} If worse afterwards: out at once, ring the vet.`
        : "none",
    ),
    row("Growth until the next reset", (foot, input) => forecastOf(foot, input)),
    row("Note", (foot) => foot.notes ?? ""),
  ];
  return rows.filter(([, ...cells]) => cells.some((cell) => cell !== ""));
};

const conditionsOf = ({ conditions }: Prescription): string =>
  [
    conditions.emergency ? "first aid" : "",
    conditions.vetPresent ? "the vet is there" : "",
    conditions.nerveBlock ? "nerve block by the vet" : "",
    conditions.handler ? "a handler holds the horse" : "",
    conditions.surface ?? "",
  ]
    .filter((one) => one !== "")
    .join("; ");

/** Reads a plan with everything its page shows. */
export const readPlanSheet = async (
  work: Work,
  id: string,
  publicUrl: string,
): Promise<PlanSheet> => {
  const plan = await read(work, id);
  const found = await cases.read(work, plan.caseId);
  const horse = await horses.read(work, plan.horseId);
  const practice = await readPractice(work);
  const figures = await plannerFigures(work);
  const films = await filmsOfPlan(work, plan.horseId, plan.radiographIds);
  const ages = (await filmFigures(work)).filmAge;
  const zone = horse.yard.timeZone;
  const inZone = (iso: string): string =>
    new Intl.DateTimeFormat("en-GB", {
      dateStyle: "medium",
      timeStyle: "short",
      timeZone: zone,
    }).format(new Date(iso));
  const feet: PreparedFoot[] = [];
  for (const foot of plan.feet)
    feet.push(
      // One film after the other: each holds its grey values in memory while it is read.
      // oxlint-disable-next-line no-await-in-loop
      await prepareFoot(work, foot, films.get(foot.foot), {
        plan,
        phase: found.phase,
        horse,
        figures,
      }),
    );
  const { trial, wedgeTrialDays, stopRule } = plan.conditions;
  const conditions = conditionsOf(plan);
  const latest =
    plan.signedAt === null
      ? ""
      : `, latest ${addDays(localDateOf(Date.parse(plan.signedAt), zone), plan.intervalDays)}`;
  const filmAges = [...films.values()].map(({ film: { row } }) => {
    const kind = found.phase === "maintenance" ? "maintenance" : "treatment";
    const age = filmAge(
      localDateOf(row.takenAt.getTime(), row.timeZone),
      localDateOf(work.nowMs, row.timeZone),
      kind,
      ages[kind],
    );
    return `${row.foot} ${localDateOf(row.takenAt.getTime(), row.timeZone)}, ${age.text}${age.state === "fresh" ? "" : " (STALE)"}`;
  });
  return {
    title: `${plan.horse.name}: trim and shoe plan ${plan.number}`,
    practiceName: practice.name,
    phone: practice.phone ?? "the practice",
    standing: standingOf(plan, inZone),
    watermark:
      WATERMARKS[plan.status] ?? (isCurrentPrescription(plan.status) ? null : "NOT IN FORCE"),
    aim: plan.aim,
    doNots: plan.doNot,
    feet: feet.map((one) => one.onPaper),
    table: tableOf(feet, figures),
    lines: [
      ["Next reset", `within ${plan.intervalDays} days${latest}`],
      ...(conditions === "" ? [] : [["Conditions", conditions] as const]),
      ...(stopRule === undefined ? [] : [["Stop if", stopRule] as const]),
      ...(wedgeTrialDays === undefined
        ? []
        : [
            ["Heel-raise trial", `ends ${wedgeTrialDays} days after fitting, with a film`] as const,
          ]),
      ...(trial === undefined
        ? []
        : [
            [
              "Trial",
              `${trial.question} Ends ${trial.days} days after fitting, with a film`,
            ] as const,
          ]),
      ["Films", filmAges.length === 0 ? "none measured" : filmAges.join("; ")],
    ],
    cautions: [
      "No sole off in front of the frog. Stop at blood, at softness, or when the horse cannot bear it, and ring the vet.",
      "Lengths carry the error of their film; areas and forecasts are estimates. A licensed vet prescribes, a farrier may do less or decline, never more without the vet. Local law comes first.",
    ],
    provenance: [
      `Drafted by ${plan.draftedBy.name}; record version ${plan.version}.`,
      plan.signature === null ? "" : `Signature ${plan.signature.slice(0, 24)}\u2026`,
      `Printed ${inZone(new Date(work.nowMs).toISOString())}. An older print does not hold: compare with the case.`,
    ]
      .filter((one) => one !== "")
      .join(" "),
    caseUrl: `${publicUrl}/cases/${plan.caseId}`,
  };
};
