import type { Finding, Setting } from "../evidence/index.ts";
import { MS_PER_HOUR, type InstantMs } from "../time/index.ts";
import { FIRST_AID_SETTINGS } from "./settings.ts";
import { COOLING, HOUSE_SHEET } from "./sources.ts";

/** One look at the ice: topped up, checked or taken off. */
export interface IceEntry {
  readonly atMs: InstantMs;
  readonly kind: "on" | "checked" | "off";
  readonly hoofWallCelsius?: number;
  readonly skinSore?: boolean;
}

/** Ice was refilled every two hours in the study where it protected (Kullmann 2014). */
export const ICE_CHECK_HOURS: Setting<number> = {
  key: "firstaid.ice-check",
  value: 2,
  unit: "h",
  source: {
    id: "kullmann-2014",
    citation: "Kullmann 2014, Equine Vet J 46:554-559: iced at least 48 h, refilled every 2 h",
    status: "published",
  },
  since: "2026-01-01",
  change: "tighten",
};

export interface IceGap {
  readonly fromMs: InstantMs;
  readonly toMs: InstantMs;
}

export interface IceSummary {
  /** Time between two looks while the ice was on, where longer than allowed. */
  readonly gaps: readonly IceGap[];
  /** Hours iced in the 24 h before `atMs`; a gap counts only up to the allowed time. */
  readonly hoursInLastDay: number;
  readonly findings: readonly Finding[];
}

/** What the ice log shows at an instant: gaps, hours in the last day, warm readings, sore skin. */
export const summariseIce = (entries: readonly IceEntry[], atMs: InstantMs): IceSummary => {
  const allowedMs = ICE_CHECK_HOURS.value * MS_PER_HOUR;
  const known = entries
    .filter((entry) => entry.atMs <= atMs)
    .toSorted((left, right) => left.atMs - right.atMs);
  const spans = known.flatMap((entry, index) => {
    const toMs = known[index + 1]?.atMs ?? atMs;
    return entry.kind === "off" || toMs === entry.atMs ? [] : [{ fromMs: entry.atMs, toMs }];
  });
  const gaps = spans.filter((span) => span.toMs - span.fromMs > allowedMs);
  const dayAgo = atMs - 24 * MS_PER_HOUR;
  const icedMs = spans.reduce((sum, span) => {
    const coldUntil = Math.min(span.toMs, span.fromMs + allowedMs);
    return sum + Math.max(0, coldUntil - Math.max(span.fromMs, dayAgo));
  }, 0);
  const warm = known.filter(
    (entry) =>
      entry.hoofWallCelsius !== undefined &&
      entry.hoofWallCelsius >= FIRST_AID_SETTINGS.iceBelowCelsius.value,
  ).length;
  const findings: Finding[] = [];
  if (gaps.length > 0)
    findings.push({
      rule: "firstaid/ice-gap@1",
      outcome: "warn",
      detail: `${String(gaps.length)} ${gaps.length === 1 ? "gap" : "gaps"} of more than ${String(ICE_CHECK_HOURS.value)} h without a look at the ice.`,
      source: ICE_CHECK_HOURS.source,
    });
  if (warm > 0)
    findings.push({
      rule: "firstaid/ice-warm@1",
      outcome: "warn",
      detail: `${String(warm)} ${warm === 1 ? "reading" : "readings"} at ${String(FIRST_AID_SETTINGS.iceBelowCelsius.value)} °C or more: ice and water up to above the fetlock.`,
      source: COOLING,
    });
  if (known.some((entry) => entry.skinSore === true))
    findings.push({
      rule: "firstaid/ice-skin@1",
      outcome: "warn",
      detail: "Sore skin under the ice: ring the vet.",
      source: HOUSE_SHEET,
    });
  return { gaps, hoursInLastDay: icedMs / MS_PER_HOUR, findings };
};
