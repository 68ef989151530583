import type { Setting, Source } from "../evidence/index.ts";
import { addDays, type LocalDate } from "../time/index.ts";

/** How long records are kept before a person's name may leave them, or before they are cleared away. */

const MEDICINE_LAW: Source = {
  id: "eu-2019-6-108",
  citation:
    "Regulation (EU) 2019/6, Article 108: records of medicines for food-producing animals, horses among them, are kept at least five years; the UK's Veterinary Medicines Regulations 2013 ask the same (from memory: check against the law in force)",
  status: "from memory",
};
const LIMITATION: Source = {
  id: "house-retention",
  citation:
    "House rule: seven years, the six years in which a claim may be brought in most places and one more; ask your insurer and your professional body",
  status: "house rule",
};
const TIDY: Source = {
  id: "house-tidying",
  citation: "House rule: what only served to send a letter or repeat a request",
  status: "house rule",
};

export const RETENTION_SETTINGS = {
  /** Who signed, carried out or recorded something stays named this long. */
  clinicalNameYears: {
    key: "retention.clinical-name-years",
    value: 7,
    unit: "years",
    source: LIMITATION,
    since: "2026-01-01",
    change: "tighten",
  },
  /** Medicine records are never shortened below this. */
  medicineRecordYears: {
    key: "retention.medicine-record-years",
    value: 5,
    unit: "years",
    source: MEDICINE_LAW,
    since: "2026-01-01",
    change: "tighten",
  },
  /** Letters that went out lose their text after this. */
  letterDays: {
    key: "retention.letter-days",
    value: 90,
    unit: "days",
    source: TIDY,
    since: "2026-01-01",
    change: "free",
  },
  /** Answers kept for repeated requests; no shorter than a phone may be without signal. */
  repeatedRequestDays: {
    key: "retention.repeated-request-days",
    value: 60,
    unit: "days",
    source: TIDY,
    since: "2026-01-01",
    change: "free",
  },
} as const satisfies Readonly<Record<string, Setting<number>>>;

/**
 * First day on which somebody who last signed or recorded on a day need no longer be named: the longer
 * of the two terms, counted in calendar years.
 *
 * @param lastOn day of the last record that carries the name
 */
export const nameMayGoOn = (
  lastOn: LocalDate,
  years: { readonly clinicalNameYears: number; readonly medicineRecordYears: number },
): LocalDate => {
  const term = Math.max(years.clinicalNameYears, years.medicineRecordYears);
  const year = String(Number(lastOn.slice(0, 4)) + term).padStart(4, "0");
  // 29 February has no anniversary in most years: the term is then over on 1 March.
  const day = lastOn.slice(5);
  return day === "02-29" ? `${year}-03-01` : addDays(`${year}-${day}`, 1);
};
