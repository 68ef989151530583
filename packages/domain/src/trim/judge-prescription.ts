import type { Finding, Outcome, Source } from "../evidence/index.ts";
import { COVERAGE_FACTOR, FILM_AGE_MAINTENANCE, FILM_AGE_TREATMENT } from "../geometry/settings.ts";
import type { FilmAgeLimits } from "../geometry/settings.ts";
import { palmarAngleAfterHeelDegrees } from "./heel.ts";
import { judgeWedge } from "./judge-wedge.ts";
import { STANDARD_TRIM_VALUES } from "./settings.ts";
import type { TrimValues } from "./settings.ts";
import type { OwnCatalogue } from "./shoe-catalogue.ts";
import { TRIM_SOURCES } from "./sources.ts";
import { checkTrimMeasures, trimFrame } from "./trim-frame.ts";
import { divideToe } from "./trim-outcome.ts";
import type { Foot, FootPlan, TrimInput, TrimMeasures } from "./trim-types.ts";

export interface PrescriptionFilm {
  readonly foot: Foot;
  readonly ageDays: number;
  readonly hasScale: boolean;
  /** Left and right confirmed by someone other than the person who marked it. */
  readonly sideConfirmed: boolean;
  /** Points of the positioning card that were not met. */
  readonly missingQuality?: readonly string[];
}

export interface PrescriptionDraft {
  readonly feet: readonly FootPlan[];
  readonly intervalDays: number;
  /** Days until the heel-raise trial ends. */
  readonly wedgeTrialDays?: number;
}

/** When a film turns amber and red. */
export interface FilmAges {
  readonly treatment: FilmAgeLimits;
  readonly maintenance: FilmAgeLimits;
}

export interface PrescriptionContext {
  readonly phase: TrimInput["phase"];
  readonly animal: TrimInput["animal"];
  readonly emergency: boolean;
  readonly films: readonly PrescriptionFilm[];
  readonly ceilingDays: number;
  /** Why the cycle is longer than the ceiling, in the vet's words. */
  readonly longerReason?: string;
  readonly own?: OwnCatalogue;
  /** The practice's figures on the day; else the standard ones. */
  readonly values?: TrimValues;
  /** When a film turns amber and red, days; else the standard ages. */
  readonly filmAge?: FilmAges;
}

export type FootMeasures = Partial<Readonly<Record<Foot, TrimMeasures>>>;

const finding = (
  rule: string,
  outcome: Outcome,
  detail: string,
  source: Source,
  field: string,
): Finding => ({ rule, outcome, detail, source, field });

const judgeFilm = (
  plan: FootPlan,
  at: string,
  context: PrescriptionContext,
): readonly Finding[] => {
  const film = context.films.find((candidate) => candidate.foot === plan.foot);
  if (film === undefined)
    return [
      finding(
        "prescription/film@1",
        context.emergency ? "warn" : "block",
        `No measured film of ${plan.foot}.`,
        TRIM_SOURCES.filmAge,
        at,
      ),
    ];
  const ages = context.filmAge ?? {
    treatment: FILM_AGE_TREATMENT.value,
    maintenance: FILM_AGE_MAINTENANCE.value,
  };
  const age = context.phase === "maintenance" ? ages.maintenance : ages.treatment;
  return [
    film.ageDays > age.amberAfterDays
      ? finding(
          "prescription/film-age@1",
          "warn",
          `The film of ${plan.foot} is ${film.ageDays} days old (fresh up to ${age.amberAfterDays}${film.ageDays > age.redAfterDays ? `, far out of date after ${age.redAfterDays}` : ""}).`,
          TRIM_SOURCES.filmAge,
          at,
        )
      : finding(
          "prescription/film-age@1",
          "pass",
          `The film of ${plan.foot} is ${film.ageDays} days old.`,
          TRIM_SOURCES.filmAge,
          at,
        ),
    ...(film.hasScale
      ? []
      : [
          finding(
            "prescription/scale@1",
            "block",
            `The film of ${plan.foot} has no scale: its lengths cannot enter a plan.`,
            TRIM_SOURCES.scale,
            at,
          ),
        ]),
    ...(film.sideConfirmed
      ? []
      : [
          finding(
            "prescription/side@1",
            "block",
            `Left or right of ${plan.foot} is not confirmed by a second person.`,
            TRIM_SOURCES.sides,
            at,
          ),
        ]),
    ...((film.missingQuality ?? []).length > 0
      ? [
          finding(
            "prescription/film-quality@1",
            "note",
            `The film of ${plan.foot} missed: ${(film.missingQuality ?? []).join(", ")}.`,
            TRIM_SOURCES.filmAge,
            at,
          ),
        ]
      : []),
  ];
};

const judgeHeel = (
  plan: FootPlan,
  at: string,
  context: PrescriptionContext,
): readonly Finding[] => {
  const values = context.values ?? STANDARD_TRIM_VALUES;
  const hard = values.heelHardMm;
  const house = values.heelPerVisitMm;
  const field = `${at}/heelRemoveMm`;
  if (plan.heelRemoveMm > hard)
    return [
      finding(
        "prescription/heel-hard@1",
        "block",
        `${plan.heelRemoveMm} mm off the heels of ${plan.foot} in one visit; at most ${hard}.`,
        TRIM_SOURCES.heelTenMm,
        field,
      ),
    ];
  if (context.emergency && plan.heelRemoveMm > 0)
    return [
      finding(
        "prescription/heel-emergency@1",
        "block",
        `No heel is cut in first aid; ${plan.heelRemoveMm} mm planned on ${plan.foot}.`,
        TRIM_SOURCES.emergencyHeel,
        field,
      ),
    ];
  if (plan.heelRemoveMm > house)
    return [
      finding(
        "prescription/heel-house@1",
        "warn",
        `${plan.heelRemoveMm} mm off the heels of ${plan.foot}; the house stages at ${house}.`,
        TRIM_SOURCES.heelHouse,
        field,
      ),
    ];
  return [];
};

const judgeAgainstMeasures = (
  plan: FootPlan,
  at: string,
  measures: TrimMeasures,
  context: PrescriptionContext,
): readonly Finding[] => {
  const impossible = checkTrimMeasures(measures);
  if (impossible.length > 0)
    return impossible.map((one) => ({ ...one, field: `/measures/${plan.foot}` }));
  const frame = trimFrame({
    ...context,
    foot: plan.foot,
    measures,
    weightKg: 1,
    shoe: plan.shoe,
    supportFill: plan.supportFill,
    fixing: plan.fixing,
    intervalDays: context.ceilingDays,
  });
  const sole = frame.values.soleMm;
  const wing = measures.soleDepthWingMm.value - plan.heelRemoveMm * frame.wingShare;
  const lows = [
    {
      part: "tip",
      low:
        measures.soleDepthTipMm.value -
        COVERAGE_FACTOR.value * measures.soleDepthTipMm.standardUncertainty,
      cut: false,
    },
    {
      part: "wing",
      low: wing - COVERAGE_FACTOR.value * measures.soleDepthWingMm.standardUncertainty,
      cut: plan.heelRemoveMm > 0,
    },
  ] as const;
  const soles = lows.flatMap(({ part, low, cut }) => {
    if (low >= sole.aim) return [];
    const outcome = cut && low < sole.block ? "block" : low < sole.warn ? "warn" : "note";
    return [
      finding(
        `prescription/sole-${part}@1`,
        outcome,
        `Sole under the ${part} of ${plan.foot} stays at ${low.toFixed(1)} mm at the lower 95 % bound (aim ${sole.aim}, warn ${sole.warn}, block ${sole.block}).`,
        TRIM_SOURCES.soleFloor,
        `${at}/soleMinMm`,
      ),
    ];
  });
  const now = measures.breakoverDistanceMm.value;
  const angle = palmarAngleAfterHeelDegrees(
    frame.palmarAngleDegrees,
    plan.heelRemoveMm,
    frame.baseLengthMm,
  );
  const band = plan.palmarAngleTargetDegrees;
  const carriedMm = divideToe(frame, plan).setBackMm;
  const toeHouse = frame.values.toePerVisitMm;
  return [
    ...soles,
    ...(plan.toeBackMm > toeHouse
      ? [
          finding(
            "prescription/toe-house@1",
            "warn",
            `${plan.toeBackMm} mm off the toe of ${plan.foot}; the house stages at ${toeHouse}.`,
            TRIM_SOURCES.toeHouse,
            `${at}/toeBackMm`,
          ),
        ]
      : []),
    ...(carriedMm > frame.setBackMostMm + 0.5
      ? [
          finding(
            "prescription/toe-reach@1",
            "warn",
            `${plan.toeBackMm.toFixed(1)} mm off the toe of ${plan.foot} is ${(carriedMm - frame.setBackMostMm).toFixed(1)} mm more than wall, bevel and this shoe allow without passing the floors of wall or sole.`,
            TRIM_SOURCES.bevelGeometry,
            `${at}/toeBackMm`,
          ),
        ]
      : []),
    ...(plan.breakoverFromP3TipMm > now
      ? [
          finding(
            "prescription/breakover-forward@1",
            "block",
            `Breakover of ${plan.foot} would move forward, from ${now.toFixed(1)} to ${plan.breakoverFromP3TipMm.toFixed(1)} mm.`,
            TRIM_SOURCES.leverArm,
            `${at}/breakoverFromP3TipMm`,
          ),
        ]
      : []),
    ...(Math.abs(now - plan.toeBackMm - plan.breakoverFromP3TipMm) > 1
      ? [
          finding(
            "prescription/breakover-sum@1",
            "warn",
            `On ${plan.foot} ${now.toFixed(1)} mm less ${plan.toeBackMm.toFixed(1)} mm of toe is not ${plan.breakoverFromP3TipMm.toFixed(1)} mm.`,
            TRIM_SOURCES.leverArm,
            `${at}/toeBackMm`,
          ),
        ]
      : []),
    ...(plan.heelRemoveMm > 0 && angle < band.low - 1e-9
      ? [
          finding(
            "prescription/angle-under@1",
            "warn",
            `${plan.heelRemoveMm} mm off the heels of ${plan.foot} leaves ${angle.toFixed(1)}°, under the ${band.low}° wanted.`,
            TRIM_SOURCES.heelGeometry,
            `${at}/heelRemoveMm`,
          ),
        ]
      : []),
    ...(plan.heelRemoveMm > 0 && frame.founderMoving
      ? [
          finding(
            "prescription/heel-founder-moving@1",
            "warn",
            `The founder distance of ${plan.foot} is moving: heel cut only on the vet's written reason.`,
            TRIM_SOURCES.founderMoving,
            `${at}/heelRemoveMm`,
          ),
        ]
      : []),
  ];
};

const judgeFoot = (
  plan: FootPlan,
  index: number,
  prescription: PrescriptionDraft,
  measures: TrimMeasures | undefined,
  context: PrescriptionContext,
): readonly Finding[] => {
  const at = `/feet/${index}`;
  const values = context.values ?? STANDARD_TRIM_VALUES;
  const sole = values.soleMm;
  const sem = measures?.founderSemMm;
  return [
    ...judgeFilm(plan, at, context),
    ...judgeHeel(plan, at, context),
    ...(plan.soleMinMm < sole.block
      ? [
          finding(
            "prescription/sole-min@1",
            "block",
            `A sole floor of ${plan.soleMinMm} mm on ${plan.foot} is under ${sole.block}.`,
            TRIM_SOURCES.soleFloor,
            `${at}/soleMinMm`,
          ),
        ]
      : []),
    ...(plan.palmarAngleTargetDegrees.low > plan.palmarAngleTargetDegrees.high
      ? [
          finding(
            "prescription/angle-band@1",
            "block",
            `The palmar angle band of ${plan.foot} runs backwards.`,
            TRIM_SOURCES.palmarBand,
            `${at}/palmarAngleTargetDegrees`,
          ),
        ]
      : []),
    ...(plan.breakoverFromFrogTipMm === undefined
      ? [
          finding(
            "prescription/frog-tip@1",
            "note",
            `No breakover from the frog tip on ${plan.foot}: the farrier has no mark to find on the foot.`,
            TRIM_SOURCES.breakoverTarget,
            `${at}/breakoverFromFrogTipMm`,
          ),
        ]
      : []),
    ...(measures === undefined ? [] : judgeAgainstMeasures(plan, at, measures, context)),
    ...judgeWedge({
      wedgeDegrees: plan.wedgeDegrees,
      values,
      emergency: context.emergency,
      ...(plan.wedgeReason === undefined ? {} : { reason: plan.wedgeReason }),
      ...(measures?.founderChangeMm === undefined
        ? {}
        : { founderChangeMm: measures.founderChangeMm }),
      ...(sem === undefined ? {} : { founderSemMm: sem }),
      ...(prescription.wedgeTrialDays === undefined
        ? {}
        : { trialDays: prescription.wedgeTrialDays }),
    }).map((one) => (one.field === undefined ? one : { ...one, field: at + one.field })),
  ];
};

/**
 * Everything that blocks, warns or informs before a prescription is signed. A block cannot be signed
 * over; a warn needs a written reason. Measures that cannot belong to a foot block.
 */
export const judgePrescription = (
  prescription: PrescriptionDraft,
  measures: FootMeasures,
  context: PrescriptionContext,
): readonly Finding[] => {
  const named = prescription.feet.map((plan) => plan.foot);
  const twice = named.filter((foot, index) => named.indexOf(foot) !== index);
  const tooLong = prescription.intervalDays > context.ceilingDays;
  const longerReason = (context.longerReason ?? "").trim();
  return [
    ...(prescription.feet.length === 0 || twice.length > 0
      ? [
          finding(
            "prescription/feet@1",
            "block",
            twice.length > 0 ? `Two plans for ${twice.join(", ")}.` : "No foot is planned.",
            TRIM_SOURCES.sides,
            "/feet",
          ),
        ]
      : []),
    ...(tooLong || !(prescription.intervalDays > 0)
      ? [
          finding(
            "prescription/interval@1",
            tooLong && longerReason !== "" ? "warn" : "block",
            tooLong
              ? `${prescription.intervalDays} days is longer than the ${context.ceilingDays} of this phase.${longerReason === "" ? " It needs the vet's reason." : ` Reason given: ${longerReason}`}`
              : "The interval must be at least one day.",
            TRIM_SOURCES.interval,
            "/intervalDays",
          ),
        ]
      : []),
    ...prescription.feet.flatMap((plan, index) =>
      judgeFoot(plan, index, prescription, measures[plan.foot], context),
    ),
  ];
};
