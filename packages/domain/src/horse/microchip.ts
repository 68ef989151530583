import type { Finding, Judged, Source } from "../evidence/index.ts";
import { countryCodeStanding } from "./country-codes.ts";
import { CHIP_MISUSE, ISO_11784, ISO_3166 } from "./sources.ts";

/** A transponder number and who gave it out. */
export interface Microchip {
  /** Digits without separators (or the ten characters of an older chip). */
  readonly text: string;
  /** `country` and `maker` follow ISO 11784; `legacy` is an older ten-character chip. */
  readonly kind: "country" | "maker" | "legacy";
  /** First three digits; absent on a legacy chip. */
  readonly prefix?: string;
  /** True when the code is known to sit in more than one animal: ask for a second identifier. */
  readonly needsSecondIdentifier: boolean;
}

/** The individual number is held in 38 bits. */
export const LARGEST_CHIP_NUMBER = 2 ** 38 - 1;

/** Codes published as found in many animals. Source: {@link CHIP_MISUSE}. */
export const MISUSED_CHIPS: readonly string[] = ["900155000101234"];

const finding = (
  rule: string,
  outcome: Finding["outcome"],
  detail: string,
  source: Source = ISO_11784,
): Finding => ({ rule: `horse/${rule}@1`, outcome, detail, source });

const refuse = (rule: string, detail: string, source?: Source): Judged<Microchip> => ({
  ok: false,
  findings: [finding(rule, "block", detail, source)],
});

const prefixFinding = (prefix: string): Finding => {
  if (prefix >= "900")
    return finding("chip-prefix", "pass", `${prefix} is a maker's code, accepted.`);
  switch (countryCodeStanding(prefix)) {
    case "assigned":
      return finding("chip-prefix", "pass", `${prefix} is a country code.`, ISO_3166);
    case "withdrawn":
      return finding(
        "chip-prefix",
        "note",
        `${prefix} is a country code that has been withdrawn; older chips still carry it.`,
        ISO_3166,
      );
    default:
      return finding(
        "chip-prefix",
        "block",
        `${prefix} is neither a country nor a maker; read the chip again.`,
        ISO_3166,
      );
  }
};

/**
 * Reads a microchip number as a scanner shows it. Spaces, dots and hyphens are dropped. There is no
 * check digit: a wrong number of the right shape cannot be noticed.
 *
 * The country of the chip need not be the country of the UELN.
 */
export const parseMicrochip = (input: string): Judged<Microchip> => {
  const text = input.replaceAll(/[\s.-]/g, "").toUpperCase();
  if (/^[0-9A-F]{10}$/.test(text))
    return {
      ok: true,
      value: { text, kind: "legacy", needsSecondIdentifier: true },
      findings: [
        finding(
          "chip-legacy",
          "warn",
          "Ten characters: an older chip from before the standard. Kept as it is; record a second identifier.",
        ),
      ],
    };
  if (!/^[0-9]*$/.test(text))
    return refuse("chip-characters", "A microchip number holds only digits.");
  if (text.length !== 15)
    return refuse(
      "chip-length",
      `A microchip number has 15 digits; this one has ${String(text.length)}.`,
    );
  const prefix = text.slice(0, 3);
  if (prefix === "000") return refuse("chip-prefix", "000 is not a country or a maker.");
  if (prefix === "999")
    return refuse("chip-test", "999 marks a test chip, which no animal should carry.");
  if (Number(text.slice(3)) > LARGEST_CHIP_NUMBER)
    return refuse(
      "chip-number",
      `The last twelve digits may not exceed ${LARGEST_CHIP_NUMBER.toLocaleString("en-GB")}, the most a chip can hold.`,
    );
  const standing = prefixFinding(prefix);
  if (standing.outcome === "block") return { ok: false, findings: [standing] };
  const misused = MISUSED_CHIPS.includes(text);
  return {
    ok: true,
    value: {
      text,
      kind: prefix >= "900" ? "maker" : "country",
      prefix,
      needsSecondIdentifier: misused,
    },
    findings: misused
      ? [
          standing,
          finding(
            "chip-misuse",
            "warn",
            "This code is on a published list of chips found in more than one animal; record a second identifier.",
            CHIP_MISUSE,
          ),
        ]
      : [standing],
  };
};
