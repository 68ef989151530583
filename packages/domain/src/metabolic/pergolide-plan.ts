import type { Source } from "../evidence/index.ts";
import { bandUnits, drugOf, presentationOf } from "../medication/index.ts";
import { addDays, type LocalDate } from "../time/index.ts";

const LABEL_EU: Source = {
  id: "label/pergolide-eu",
  citation:
    "UK and EU data sheets, pergolide tablets: start about 2 micrograms/kg by band, re-test every 4-6 weeks until stable",
  status: "label",
};
const LABEL_US: Source = {
  id: "label/pergolide-us",
  citation:
    "21 CFR 520.1705 and US label: at most 4 micrograms/kg; intolerance: halve for 3-5 days, then up in 2 microgram/kg steps every 2 weeks",
  status: "law",
};

/** Tablets break into halves of 0.5 mg; nothing smaller can be measured. Source: US label. */
const HALF_TABLET_MG = 0.5;
const inHalfTablets = (mg: number): number =>
  Math.floor(mg / HALF_TABLET_MG + 1e-9) * HALF_TABLET_MG;

const TABLET = "pergolide-tablet-1mg";

/** Starting dose in mg by weight from the label's table, UK and EU. Undefined outside the bands. */
export const pergolideStartMg = (weightKg: number): number | undefined => {
  const drug = drugOf("pergolide");
  const presentation = drug === undefined ? undefined : presentationOf(drug, TABLET);
  const units = drug === undefined ? undefined : bandUnits(drug, TABLET, weightKg);
  return units === undefined || presentation === undefined
    ? undefined
    : units * presentation.mgPerUnit;
};

/** Most that the US label allows, in whole half-tablets of 0.5 mg. */
export const pergolideUsMaxMg = (weightKg: number): number => inHalfTablets(weightKg * 0.004);

export interface TitrationStep {
  readonly retestFrom: LocalDate;
  readonly retestBy: LocalDate;
  readonly microgramsPerKg: number;
  /** Over 4 µg/kg the clinical lead signs too; over 10 never. */
  readonly needs: "vet" | "clinical lead" | "refused";
  readonly source: Source;
}

/** What a change of dose brings: the blood window 4-6 weeks on and who must agree. */
export const titrationStep = (doseMg: number, weightKg: number, on: LocalDate): TitrationStep => {
  const microgramsPerKg = (1000 * doseMg) / weightKg;
  return {
    retestFrom: addDays(on, 28),
    retestBy: addDays(on, 42),
    microgramsPerKg,
    needs: microgramsPerKg > 10 ? "refused" : microgramsPerKg > 4 ? "clinical lead" : "vet",
    source: microgramsPerKg > 4 ? LABEL_US : LABEL_EU,
  };
};

/**
 * Steps after intolerance: half for 3-5 days, then up by 2 µg/kg every two weeks to the target.
 * Half of a half tablet cannot be measured, so the lowest dose pauses instead (0 mg).
 */
export const afterIntolerance = (
  doseMg: number,
  weightKg: number,
  on: LocalDate,
): readonly { readonly from: LocalDate; readonly doseMg: number }[] => {
  const half = inHalfTablets(doseMg / 2);
  const rise = Math.max(HALF_TABLET_MG, inHalfTablets(weightKg * 0.002));
  const steps = [{ from: on, doseMg: half }];
  let day = addDays(on, 5);
  let dose = half;
  while (dose < doseMg) {
    dose = Math.min(doseMg, dose + rise);
    steps.push({ from: day, doseMg: dose });
    day = addDays(day, 14);
  }
  return steps;
};
