import type { Finding, Judged, Source } from "../evidence/index.ts";

export type Analyte =
  | "insulin"
  | "ACTH"
  | "creatinine"
  | "urea"
  | "protein"
  | "triglycerides"
  | "beta-hydroxybutyrate"
  | "glucose";

const AMA: Source = {
  id: "memory/ama-si-table",
  citation: "AMA table of conversions to SI units, recalled",
  status: "from memory",
};
const KNOPP: Source = {
  id: "paper/knopp-2019",
  citation:
    "Knopp et al. 2019, J Diabetes Sci Technol 13:597: insulin 1 uIU/mL = 6.00 pmol/L; 6.945 is wrong by the definition of mass",
  status: "published",
};
const SAEVA: Source = {
  id: "published/creatinine-factor",
  citation: "0.3 mg/dL creatinine = 26.5 umol/L, equine veterinary congress notes 2015",
  status: "published",
};
const TABLE: Source = {
  id: "published/si-units-table",
  citation: "SI unit conversion table: protein g/dL x 10 = g/L",
  status: "published",
};

interface Conversion {
  readonly analyte: Analyte;
  readonly from: string;
  readonly to: string;
  readonly factor: number;
  readonly source: Source;
}

/** To the unit each rule works in. The other direction divides. */
export const CONVERSIONS: readonly Conversion[] = [
  { analyte: "insulin", from: "pmol/L", to: "µIU/mL", factor: 1 / 6, source: KNOPP },
  { analyte: "insulin", from: "mIU/L", to: "µIU/mL", factor: 1, source: KNOPP },
  { analyte: "ACTH", from: "pmol/L", to: "pg/mL", factor: 1 / 0.2202, source: AMA },
  { analyte: "ACTH", from: "ng/L", to: "pg/mL", factor: 1, source: AMA },
  { analyte: "creatinine", from: "mg/dL", to: "µmol/L", factor: 88.42, source: SAEVA },
  { analyte: "urea", from: "mg/dL urea nitrogen", to: "mmol/L", factor: 0.357, source: AMA },
  { analyte: "protein", from: "g/dL", to: "g/L", factor: 10, source: TABLE },
  { analyte: "triglycerides", from: "mg/dL", to: "mmol/L", factor: 0.01129, source: AMA },
  { analyte: "beta-hydroxybutyrate", from: "mg/dL", to: "mmol/L", factor: 0.0961, source: AMA },
  { analyte: "glucose", from: "mg/dL", to: "mmol/L", factor: 0.0555, source: AMA },
];

/** Values outside these cannot be what the unit says. Wide on purpose: they catch slips of the unit. */
const PLAUSIBLE: Readonly<Record<Analyte, readonly [number, number]>> = {
  insulin: [0, 3000],
  ACTH: [0, 5000],
  creatinine: [20, 3000],
  urea: [0.5, 100],
  protein: [5, 150],
  triglycerides: [0.02, 60],
  "beta-hydroxybutyrate": [0.01, 20],
  glucose: [0.5, 60],
};

const unitFinding = (detail: string, source: Source): Finding => ({
  rule: "metabolic/unit@1",
  outcome: "block",
  detail,
  source,
  field: "/unit",
});

const tidied = (unit: string): string =>
  unit
    .trim()
    .replace(/^u(?=IU|mol)/u, "µ")
    .replace(/^μ/u, "µ");

/** The unit the rules work in for an analyte. */
export const workingUnit = (analyte: Analyte): string =>
  CONVERSIONS.find((entry) => entry.analyte === analyte)?.to ?? "";

/**
 * A result in the unit the rules work in. The raw unit and the factor stay beside it. An unknown or
 * implausible unit is asked back, never guessed: ketones "0.30 µmol/L" can only be mmol/L.
 *
 * `insulinFactor`: pmol/L per µIU/mL as the laboratory states it; 6.00 by definition, some use 6.945.
 */
export const toWorkingUnit = (
  analyte: Analyte,
  value: number,
  unit: string,
  insulinFactor = 6,
): Judged<{ readonly value: number; readonly unit: string; readonly factor: number }> => {
  const from = tidied(unit);
  const to = workingUnit(analyte);
  const conversion = CONVERSIONS.find((entry) => entry.analyte === analyte && entry.from === from);
  const factor =
    from === to
      ? 1
      : analyte === "insulin" && from === "pmol/L"
        ? 1 / insulinFactor
        : conversion?.factor;
  const source = conversion?.source ?? AMA;
  if (factor === undefined)
    return {
      ok: false,
      findings: [
        unitFinding(`${analyte} in ${unit}: not a unit for this test; ask the laboratory.`, source),
      ],
    };
  const converted = value * factor;
  const [low, high] = PLAUSIBLE[analyte];
  if (!(converted >= low && converted <= high))
    return {
      ok: false,
      findings: [
        unitFinding(
          `${analyte} ${String(value)} ${unit} cannot be right; check the unit with the laboratory.`,
          source,
        ),
      ],
    };
  const findings: readonly Finding[] =
    analyte === "insulin" && from === "pmol/L"
      ? [
          {
            rule: "metabolic/insulin-factor@1",
            outcome: insulinFactor === 6 ? "note" : "warn",
            detail:
              insulinFactor === 6
                ? "Converted with 6.00 pmol/L per µIU/mL; ask the laboratory which factor it used."
                : `The laboratory states ${String(insulinFactor)} pmol/L per µIU/mL; with 6.00 the result would read ${(value / 6).toFixed(1)} µIU/mL (${((100 * insulinFactor) / 6 - 100).toFixed(1)} % more).`,
            source: KNOPP,
          },
        ]
      : [];
  return { ok: true, value: { value: converted, unit: to, factor }, findings };
};

/** Degrees Celsius from Fahrenheit. */
export const celsius = (fahrenheit: number): number => ((fahrenheit - 32) * 5) / 9;
/** Degrees Fahrenheit from Celsius. */
export const fahrenheit = (degreesCelsius: number): number => (degreesCelsius * 9) / 5 + 32;
