import type { Finding, Judged } from "../evidence/index.ts";
import { countryCodeStanding } from "./country-codes.ts";
import { ISO_3166, UELN_RULES } from "./sources.ts";

/** A universal equine life number, taken apart. */
export interface Ueln {
  /** All 15 characters, upper case, without separators. */
  readonly text: string;
  /** ISO 3166-1 numeric code of the registering database, not of the owner's country. */
  readonly countryCode: string;
  /** First six characters: country and database. */
  readonly databaseCode: string;
  /** Last nine characters. */
  readonly individualNumber: string;
}

const block = (rule: string, detail: string, source = UELN_RULES): Finding => ({
  rule,
  outcome: "block",
  detail,
  source,
});

const judgeCountry = (countryCode: string): Finding => {
  const standing = countryCodeStanding(countryCode);
  const rule = "horse/ueln-country@1";
  if (standing === "assigned")
    return {
      rule,
      outcome: "pass",
      detail: `Country code ${countryCode} is known.`,
      source: ISO_3166,
    };
  if (standing === "withdrawn")
    return {
      rule,
      outcome: "note",
      detail: `Country code ${countryCode} has been withdrawn; older animals still carry it.`,
      source: ISO_3166,
    };
  if (countryCode === "000" || countryCode >= "900")
    return block(rule, `${countryCode} is not a country; check the passport.`, ISO_3166);
  return {
    rule,
    outcome: "warn",
    detail: `Country code ${countryCode} is not on the list; check it against the passport.`,
    source: ISO_3166,
  };
};

/**
 * Reads a UELN as printed in a passport: spaces, dots, slashes and hyphens are dropped, letters
 * raised. There is no universal check digit, so this checks form and country only.
 *
 * @returns the number taken apart; refused when the length, a character or the country is wrong.
 */
export const parseUeln = (input: string): Judged<Ueln> => {
  const text = input.replaceAll(/[\s./\\-]/g, "").toUpperCase();
  if (text.length !== 15)
    return {
      ok: false,
      findings: [
        block(
          "horse/ueln-length@1",
          `A UELN has 15 characters; this one has ${String(text.length)}.`,
        ),
      ],
    };
  if (!/^[0-9]{3}[0-9A-Z]{12}$/.test(text))
    return {
      ok: false,
      findings: [
        block(
          "horse/ueln-characters@1",
          "A UELN opens with three digits and holds only digits and the letters A to Z.",
        ),
      ],
    };
  const finding = judgeCountry(text.slice(0, 3));
  if (finding.outcome === "block") return { ok: false, findings: [finding] };
  return {
    ok: true,
    value: {
      text,
      countryCode: text.slice(0, 3),
      databaseCode: text.slice(0, 6),
      individualNumber: text.slice(6),
    },
    findings: [finding],
  };
};

/**
 * Builds a UELN from a six-character database code and the studbook's own number: a symbol becomes
 * a zero and the number is padded with zeros on the left, as the rules of attribution ask.
 */
export const composeUeln = (databaseCode: string, studbookNumber: string): Judged<Ueln> => {
  const individual = studbookNumber
    .trim()
    .toUpperCase()
    .replaceAll(/[^0-9A-Z]/g, "0");
  if (databaseCode.trim().length !== 6 || individual === "" || individual.length > 9)
    return {
      ok: false,
      findings: [
        block(
          "horse/ueln-parts@1",
          "A UELN is made of a six-character database code and a number of one to nine characters.",
        ),
      ],
    };
  return parseUeln(databaseCode.trim() + individual.padStart(9, "0"));
};
