import type { Finding, Judged } from "../evidence/index.ts";
import { judgeFiveSignScore, type FiveSign } from "./five-sign-score.ts";
import { judgeLameness, judgeObel, type DigitalPulse, type HoofHeat } from "./grades.ts";
import { FIVE_SIGN_COURSE } from "./sources.ts";
import { judgeVitalSigns, type VitalSigns } from "./vital-signs.ts";

export const FEET = ["LF", "RF", "LH", "RH"] as const;
export type Foot = (typeof FEET)[number];

/** What a vet or carer wrote down at one look. Everything is optional; nothing is guessed. */
export interface Examination {
  readonly obelGrade?: number;
  readonly lamenessGrade?: number;
  readonly fiveSign?: {
    readonly total: number;
    readonly signs?: Readonly<Partial<Record<FiveSign, number>>>;
  };
  readonly digitalPulses?: Readonly<Partial<Record<Foot, DigitalPulse>>>;
  readonly hoofHeat?: Readonly<Partial<Record<Foot, HoofHeat>>>;
  readonly vitalSigns?: VitalSigns;
  /** Hours since the last painkiller, when there was one. */
  readonly hoursSincePainkiller?: number;
}

/** Painkillers were withheld this long before scoring in the study behind the score. */
export const SCORE_WITHOUT_PAINKILLER_HOURS = 24;

const underField = (findings: readonly Finding[], field: string): readonly Finding[] =>
  findings.map((finding) => ({ ...finding, field: `/${field}${finding.field ?? ""}` }));

/** Checks every figure of an examination; refused when one is impossible. */
export const judgeExamination = (examination: Examination): Judged<Examination> => {
  const { obelGrade, lamenessGrade, fiveSign, vitalSigns, hoursSincePainkiller } = examination;
  const findings: readonly Finding[] = [
    ...(obelGrade === undefined ? [] : underField(judgeObel(obelGrade).findings, "obelGrade")),
    ...(lamenessGrade === undefined
      ? []
      : underField(judgeLameness(lamenessGrade).findings, "lamenessGrade")),
    ...(fiveSign === undefined
      ? []
      : underField(judgeFiveSignScore(fiveSign.total, fiveSign.signs).findings, "fiveSign")),
    ...(vitalSigns === undefined ? [] : underField(judgeVitalSigns(vitalSigns), "vitalSigns")),
    ...(fiveSign !== undefined &&
    hoursSincePainkiller !== undefined &&
    hoursSincePainkiller < SCORE_WITHOUT_PAINKILLER_HOURS
      ? [
          {
            rule: "examination/scored-on-painkiller@1",
            outcome: "note" as const,
            detail: `Scored ${String(hoursSincePainkiller)} h after a painkiller: pain may be worse than it looks.`,
            source: FIVE_SIGN_COURSE,
            field: "/fiveSign",
          },
        ]
      : []),
  ];
  return findings.some((finding) => finding.outcome === "block")
    ? { ok: false, findings }
    : { ok: true, value: examination, findings };
};
