import type { FootPlanView, PhotoView } from "@heelward/contracts";
import { compareAsDone, type AsDoneTolerances } from "@heelward/domain/trim";
import type { Answer, Body } from "../../api/operations.ts";

export type Plan = Answer<"readPrescription"> & {
  /** How far the work may differ: the practice's own, once they are read. */
  readonly tolerances?: AsDoneTolerances;
};
type FootName = FootPlanView["foot"];

/** One foot while the farrier fills it in. Breakover is kept as it is measured on the foot: see `fromFrog`. */
export interface FootDraft {
  readonly foot: FootName;
  readonly breakoverMm: number | null;
  readonly heelRemovedMm: number | null;
  readonly toeBackMm: number | null;
  readonly breakoverBeforeMm: number | null;
  readonly soleTouched: boolean;
  readonly wedgeDegrees: number;
  readonly shoe: string;
  readonly supportFill: string;
  readonly fixing: string;
  readonly newGrowthLineMm: number | null;
  readonly notes: string;
}

/** A photo that was kept, the view it shows and what is wrong with it. */
export interface KeptShot {
  readonly id: string;
  readonly view: PhotoView | null;
  readonly faults: readonly ("blurred" | "dark" | "bright" | "tilted")[];
}

export type Sore = "" | "0" | "1" | "2" | "3" | "4";

export interface AsDoneDraft {
  readonly asPlanned: boolean;
  readonly feet: readonly FootDraft[];
  readonly soreBefore: Sore;
  readonly soreAfter: Sore;
  readonly departures: string;
  readonly notes: string;
  readonly noteToVet: string;
  readonly shots: readonly KeptShot[];
  readonly voiceIds: readonly string[];
  readonly next: "date" | "none" | "";
  readonly bookedFor: string;
  readonly noDateReason: string;
  readonly personToBook: string;
}

/**
 * How far the frog tip lies behind the tip of P3, by the plan: the farrier measures breakover from
 * the frog tip, which can be found on the foot; the record counts from the tip of P3. 0 when the plan
 * does not say, and then breakover is asked for from the tip of P3.
 */
export const frogBehindMm = (plan: FootPlanView | undefined): number =>
  plan === undefined || plan.breakoverFromFrogTipMm === null
    ? 0
    : plan.breakoverFromFrogTipMm - plan.breakoverFromP3TipMm;

const bare = (foot: FootName): FootDraft => ({
  foot,
  breakoverMm: null,
  heelRemovedMm: null,
  toeBackMm: null,
  breakoverBeforeMm: null,
  soleTouched: false,
  wedgeDegrees: 0,
  shoe: "bare",
  supportFill: "none",
  fixing: "none",
  newGrowthLineMm: null,
  notes: "",
});

/** A foot as the plan has it. */
const footAsPlanned = (plan: FootPlanView): FootDraft => ({
  ...bare(plan.foot),
  breakoverMm: plan.breakoverFromFrogTipMm ?? plan.breakoverFromP3TipMm,
  heelRemovedMm: plan.heelRemoveMm,
  wedgeDegrees: plan.wedgeDegrees,
  shoe: plan.shoe,
  supportFill: plan.supportFill,
  fixing: plan.fixing,
});

const EMPTY: Omit<AsDoneDraft, "feet"> = {
  asPlanned: false,
  soreBefore: "",
  soreAfter: "",
  departures: "",
  notes: "",
  noteToVet: "",
  shots: [],
  voiceIds: [],
  next: "date",
  bookedFor: "",
  noDateReason: "",
  personToBook: "",
};

/** An empty form: the feet of the plan, or both fronts where there is none. */
export const startDraft = (plan: Plan | undefined): AsDoneDraft => ({
  ...EMPTY,
  feet:
    (plan?.feet ?? []).length > 0
      ? (plan?.feet ?? []).map((foot) => bareFor(foot))
      : [bare("LF"), bare("RF")],
});

/** The plan's device without its figures: those are measured. */
const bareFor = (plan: FootPlanView): FootDraft => ({
  ...footAsPlanned(plan),
  breakoverMm: null,
  heelRemovedMm: null,
});

/** One tap: everything as the plan says. What was measured already stays. */
export const fillAsPlanned = (draft: AsDoneDraft, plan: Plan): AsDoneDraft => ({
  ...draft,
  asPlanned: true,
  feet: plan.feet.map((foot) => footAsPlanned(foot)),
});

export const withFoot = (draft: AsDoneDraft, foot: FootDraft): AsDoneDraft => ({
  ...draft,
  feet: draft.feet.map((one) => (one.foot === foot.foot ? foot : one)),
});

/** Adds a foot that is not in the form, or takes it out. */
export const toggleFoot = (draft: AsDoneDraft, foot: FootName): AsDoneDraft => ({
  ...draft,
  feet: draft.feet.some((one) => one.foot === foot)
    ? draft.feet.filter((one) => one.foot !== foot)
    : [...draft.feet, bare(foot)],
});

const planned = (plan: Plan | undefined, foot: FootName): FootPlanView | undefined =>
  plan?.feet.find((one) => one.foot === foot);

const comfort = (sore: Sore): { readonly obelGrade: number } | undefined =>
  sore === "" ? undefined : { obelGrade: Number(sore) };

/** What differs from the plan beyond tolerance, in plain sentences; these need a reason. */
export const departuresOf = (draft: AsDoneDraft, plan: Plan | undefined): readonly string[] =>
  draft.feet.flatMap((foot) => {
    const aim = planned(plan, foot.foot);
    if (aim === undefined || foot.breakoverMm === null || foot.heelRemovedMm === null) return [];
    const { breakoverFromFrogTipMm: _, wedgeReason: __, limitMm: ___, notes: ____, ...rest } = aim;
    return compareAsDone(
      { ...rest, doNots: [] },
      {
        foot: foot.foot,
        breakoverAfterMm: foot.breakoverMm - frogBehindMm(aim),
        heelRemovedMm: foot.heelRemovedMm,
        ...(foot.toeBackMm === null ? {} : { toeBackMm: foot.toeBackMm }),
        wedgeDegrees: foot.wedgeDegrees,
        soleTouched: foot.soleTouched,
        shoe: foot.shoe,
        supportFill: foot.supportFill,
        fixing: foot.fixing,
      },
      plan?.tolerances,
    ).deviations;
  });

export type Lack = "feet" | "figures" | "departures" | "next" | "noDateReason" | "personToBook";

/** What must still be filled in before the work can be recorded. */
export const lacking = (draft: AsDoneDraft, plan: Plan | undefined): readonly Lack[] => [
  ...(draft.feet.length === 0 ? (["feet"] as const) : []),
  ...(draft.feet.some((foot) => foot.breakoverMm === null || foot.heelRemovedMm === null)
    ? (["figures"] as const)
    : []),
  ...(departuresOf(draft, plan).length > 0 && draft.departures.trim() === ""
    ? (["departures"] as const)
    : []),
  ...(draft.next === "" || (draft.next === "date" && draft.bookedFor === "")
    ? (["next"] as const)
    : []),
  ...(draft.next === "none" && draft.noDateReason.trim() === "" ? (["noDateReason"] as const) : []),
  ...(draft.next === "none" && draft.personToBook === "" ? (["personToBook"] as const) : []),
];

const round = (value: number): number => Math.round(value * 100) / 100;

/** The record as the service takes it. */
export const bodyOf = (
  draft: AsDoneDraft,
  plan: Plan | undefined,
  doneAt: string,
  /** The newest visit that was seen, null where there was none; undefined while nobody knows. */
  lastRecordId?: string | null,
): Body<"recordShoeing"> => {
  const text = (value: string) => (value.trim() === "" ? undefined : value.trim());
  const optional = <K extends string, T>(name: K, value: T | undefined) =>
    value === undefined ? {} : ({ [name]: value } as Record<K, T>);
  return {
    ...optional("prescriptionId", plan?.id),
    doneAt,
    ...optional("lastRecordId", lastRecordId),
    asPlanned: draft.asPlanned && departuresOf(draft, plan).length === 0,
    feet: draft.feet.map(({ breakoverMm, heelRemovedMm, breakoverBeforeMm, notes, ...foot }) => {
      const behind = frogBehindMm(planned(plan, foot.foot));
      return {
        ...foot,
        breakoverAfterMm: round((breakoverMm ?? 0) - behind),
        breakoverBeforeMm: breakoverBeforeMm === null ? null : round(breakoverBeforeMm - behind),
        heelRemovedMm: heelRemovedMm ?? 0,
        notes: text(notes) ?? null,
      };
    }),
    ...optional("comfortBefore", comfort(draft.soreBefore)),
    ...optional("comfortAfter", comfort(draft.soreAfter)),
    ...optional("departures", text(draft.departures)),
    ...optional("notes", text(draft.notes)),
    photoIds: [...draft.shots.map((shot) => shot.id), ...draft.voiceIds],
    nextReset:
      draft.next === "date"
        ? { bookedFor: draft.bookedFor }
        : { noDateReason: draft.noDateReason.trim(), personToBook: draft.personToBook },
    ...optional("noteToVet", text(draft.noteToVet)),
  };
};
