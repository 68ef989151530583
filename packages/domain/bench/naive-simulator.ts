import { wallMinute } from "./wall-clock.ts";

/**
 * A second, deliberately plain reading of the dose limits, sharing no code with the ledger: it
 * walks the minutes, adds up what each window holds and compares with numbers written out here.
 *
 * Numbers. Phenylbutazone, horses: UK label of the 1 g powder (8.8 mg/kg on day 1, 4.4 on days 2-5,
 * then 2.2) and the US 4 g a day (21 CFR 520.1720). Ponies: UK label, 4.4 mg/kg every second day.
 * From 20 years no loading: house rule. Suxibuzone: molar masses 308.4 and 438.5. Flunixin, meloxicam,
 * ketoprofen: labels and 21 CFR 522.970, 522.1225. 24 h between anti-inflammatories: UK labels.
 * +1.5 % for unit sizes: from the labels' own examples.
 */
export interface SimDose {
  readonly minute: number;
  readonly drug: string;
  readonly mg: number;
  readonly vein: boolean;
  readonly outcome: "given" | "refused" | "spat out" | "not given";
  /** Belongs to a course that the vet declared a fresh start. */
  readonly freshStart: boolean;
  readonly course: string | undefined;
  /** Day number the first day of its course stands for. */
  readonly carriedOnFrom: number | undefined;
  readonly courseStartMinute: number;
}

export interface SimAnimal {
  readonly pony: boolean;
  readonly years: number;
  readonly weightKg: number;
  readonly us: boolean;
  readonly zone: string;
  readonly maxDailyBute?: number;
}

const DAY = 1440;
const OVER = 1.015;
const MAX_RUN_DAYS: Readonly<Record<string, number>> = {
  flunixin: 5,
  ketoprofen: 5,
  meloxicam: 14,
};
const PLAIN_LIMIT: Readonly<Record<string, number>> = {
  flunixin: 1.1,
  meloxicam: 0.6,
  ketoprofen: 1 / 0.45359237,
};

const family = (drug: string): string => (drug === "suxibuzone" ? "phenylbutazone" : drug);
const activeMg = (dose: SimDose): number =>
  dose.drug === "suxibuzone" ? (dose.mg * 308.4) / 438.5 : dose.mg;
const swallowed = (dose: SimDose): boolean =>
  dose.outcome === "given" || dose.outcome === "spat out";

interface Numbered {
  readonly dose: SimDose;
  readonly day: number;
  readonly courseDay: number;
  readonly runDay: number;
  readonly run: number;
}

const number = (doses: readonly SimDose[], zone: string): readonly Numbered[] => {
  const out: Numbered[] = [];
  const started = new Set<string>();
  let runStart = 0;
  let run = 0;
  let runDay = 0;
  let lastDay = -1000;
  for (const dose of doses) {
    const day = Math.floor(wallMinute(zone, dose.minute) / DAY);
    const fresh = dose.freshStart && dose.course !== undefined && !started.has(dose.course);
    if (fresh && dose.course !== undefined) started.add(dose.course);
    if (day - lastDay > 14 || fresh) {
      run += 1;
      runStart = day;
      runDay = dose.carriedOnFrom ?? 1;
    } else if (day !== lastDay) runDay += 1;
    const courseStartDay = Math.floor(wallMinute(zone, dose.courseStartMinute) / DAY);
    const carried =
      dose.carriedOnFrom === undefined ? 1 : dose.carriedOnFrom + (day - courseStartDay);
    out.push({ dose, day, courseDay: Math.max(day - runStart + 1, carried), runDay, run });
    lastDay = day;
  }
  return out;
};

/** Limits in mg/kg for 24 h and 48 h and in mg for 24 h, for a window whose first dose is this. */
const limitsAt = (
  first: Numbered,
  animal: SimAnimal,
): { readonly day?: number; readonly twoDays?: number; readonly grams?: number } => {
  const drug = family(first.dose.drug);
  if (drug !== "phenylbutazone") {
    const day = PLAIN_LIMIT[drug];
    return day === undefined ? {} : { day };
  }
  const grams = Math.min(4000, animal.maxDailyBute ?? 4000);
  if (animal.pony)
    return animal.us && first.dose.vein
      ? { day: 4.4, twoDays: 4.4, grams }
      : { day: 4.4, twoDays: 4.4, grams };
  if (animal.us)
    return { day: first.dose.vein && first.dose.drug !== "suxibuzone" ? 4.4 : 8.8, grams };
  if (first.courseDay === 1) return { day: animal.years >= 20 ? 4.4 : 8.8, grams };
  return { day: first.courseDay <= 5 ? 4.4 : 2.2, grams };
};

/** True when the plain reading lets the candidate be given on top of the history. */
export const simulatorAllows = (
  history: readonly SimDose[],
  candidate: SimDose,
  animal: SimAnimal,
): boolean => {
  const all = [...history.filter(swallowed), candidate];
  for (const other of all)
    if (
      other !== candidate &&
      other.drug !== candidate.drug &&
      Math.abs(other.minute - candidate.minute) < DAY
    )
      return false;
  const mine = all
    .filter((dose) => family(dose.drug) === family(candidate.drug))
    .toSorted((a, b) => a.minute - b.minute);
  const numbered = number(mine, animal.zone);
  const self = numbered.find((entry) => entry.dose === candidate);
  if (self === undefined) throw new Error("the candidate is one of the doses");
  const cap = MAX_RUN_DAYS[candidate.drug];
  if (cap !== undefined && self.runDay > cap) return false;
  if (animal.us && candidate.drug === "phenylbutazone" && candidate.vein) {
    const days = new Set(
      numbered
        .filter(
          (entry) =>
            entry.run === self.run && entry.dose.vein && entry.dose.minute <= candidate.minute,
        )
        .map((entry) => entry.day),
    );
    if (days.size > 5) return false;
  }
  const kg = animal.weightKg;
  const over = (mg: number, perKg: number | undefined): boolean =>
    perKg !== undefined && mg / kg > perKg * OVER + 1e-9;
  for (const hours of [24, 48] as const) {
    const length = hours * 60;
    for (let start = candidate.minute - length + 1; start <= candidate.minute; start += 1) {
      const startWall = wallMinute(animal.zone, start);
      let sum = 0;
      let first: Numbered | undefined;
      let holdsCandidate = false;
      for (const entry of numbered) {
        const { minute } = entry.dose;
        if (minute < start || minute - start >= length) continue;
        if (wallMinute(animal.zone, minute) - startWall >= length) continue;
        first ??= entry;
        sum += activeMg(entry.dose);
        holdsCandidate ||= entry === self;
      }
      if (first === undefined || !holdsCandidate) continue;
      const limits = limitsAt(first, animal);
      if (over(sum, hours === 24 ? limits.day : limits.twoDays)) return false;
      if (hours === 24 && limits.grams !== undefined && sum > limits.grams + 1e-9) return false;
    }
  }
  const today = numbered.filter((entry) => entry.day === self.day);
  const firstToday = today[0];
  const limits = firstToday === undefined ? {} : limitsAt(firstToday, animal);
  const sum = today.reduce((total, entry) => total + activeMg(entry.dose), 0);
  return !over(sum, limits.day) && !(limits.grams !== undefined && sum > limits.grams + 1e-9);
};
