import fc from "fast-check";
import countries from "i18n-iso-countries";
import { describe, expect, it } from "vitest";
import { isAllowed } from "../evidence/index.ts";
import {
  ASSIGNED_COUNTRY_CODES,
  LARGEST_CHIP_NUMBER,
  composeUeln,
  countryCodeStanding,
  parseMicrochip,
  parseUeln,
} from "./index.ts";

const ruleOf = (judged: { readonly findings: readonly { readonly rule: string }[] }) =>
  judged.findings[0]?.rule;

describe("country codes", () => {
  it("match ISO 3166-1 as an independent package lists it", () => {
    const theirs = Object.keys(countries.getNumericCodes())
      .map((code) => code.padStart(3, "0"))
      // Kosovo has no numeric code in the standard; the package lists a user-assigned one.
      .filter((code) => code < "900")
      .toSorted();
    expect(ASSIGNED_COUNTRY_CODES).toEqual(theirs);
  });

  it("still know codes that were withdrawn (ISO 3166-3: 200 Czechoslovakia, 891 Serbia and Montenegro)", () => {
    expect(countryCodeStanding("200")).toBe("withdrawn");
    expect(countryCodeStanding("891")).toBe("withdrawn");
    expect(countryCodeStanding("121")).toBe("unassigned");
  });
});

/** Expected values: rules of attribution of the UELN (ueln.net), EU equine identification FAQ. */
describe("UELN", () => {
  it("accepts a French number that ends in a letter", () => {
    expect(parseUeln("25000100155928M")).toMatchObject({
      ok: true,
      value: {
        text: "25000100155928M",
        countryCode: "250",
        databaseCode: "250001",
        individualNumber: "00155928M",
      },
    });
  });

  it("drops the dots of a Portuguese passport", () => {
    expect(parseUeln("620001.00224643.8")).toMatchObject({
      ok: true,
      value: { text: "620001002246438" },
    });
  });

  it("pads a short studbook number with zeros and turns a symbol into a zero, as the rules ask", () => {
    expect(composeUeln("372414", "1234567")).toMatchObject({
      ok: true,
      value: { text: "372414001234567" },
    });
    expect(composeUeln("121212", "78M/234")).toMatchObject({
      ok: true,
      value: { text: "1212120078M0234" },
    });
  });

  it("accepts the prefixes of known British studbooks", () => {
    for (const prefix of ["826031", "826072", "826039", "826024", "826061"])
      expect(parseUeln(`${prefix}000000001`).ok).toBe(true);
  });

  it("refuses one character too few or too many, and a country that cannot be", () => {
    expect(ruleOf(parseUeln("25000100155928"))).toBe("horse/ueln-length@1");
    expect(ruleOf(parseUeln("25000100155928M1"))).toBe("horse/ueln-length@1");
    expect(parseUeln("999001000000001").ok).toBe(false);
    expect(parseUeln("000001000000001").ok).toBe(false);
    expect(parseUeln("8990010000000 01").ok).toBe(true);
    expect(parseUeln("900001000000001").ok).toBe(false);
  });

  it("refuses letters in the country part and signs outside A-Z", () => {
    expect(ruleOf(parseUeln("2A0001001559281"))).toBe("horse/ueln-characters@1");
    expect(ruleOf(parseUeln("25000100155928É"))).toBe("horse/ueln-characters@1");
  });

  it("warns about an unassigned country, so that a slip is looked at without stopping the work", () => {
    const judged = parseUeln("121212007800234");
    expect(judged.ok).toBe(true);
    expect(judged.findings[0]?.outcome).toBe("warn");
  });

  it("refuses studbook numbers of no or over nine characters", () => {
    expect(composeUeln("372414", "").ok).toBe(false);
    expect(composeUeln("372414", "1234567890").ok).toBe(false);
    expect(composeUeln("37241", "1").ok).toBe(false);
  });

  it("reads back whatever it composed, however it is punctuated", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...ASSIGNED_COUNTRY_CODES),
        fc.stringMatching(/^[0-9A-Z]{3}$/),
        fc.stringMatching(/^[0-9A-Z]{1,9}$/),
        (country, database, number) => {
          const made = composeUeln(country + database, number);
          expect(made.ok).toBe(true);
          if (!made.ok) return;
          const printed = `${made.value.databaseCode.toLowerCase()} ${made.value.individualNumber.slice(0, 4)}.${made.value.individualNumber.slice(4)}`;
          expect(parseUeln(printed)).toEqual(made);
        },
      ),
    );
  });

  it("never throws, whatever is typed", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary" }), (text) => {
        expect(parseUeln(text).ok).toBe(isAllowed(parseUeln(text).findings));
        expect(parseMicrochip(text).ok).toBe(isAllowed(parseMicrochip(text).findings));
      }),
    );
  });
});

/** Expected values: ISO 11784 code structure; published lists of maker codes and of misused codes. */
describe("microchip", () => {
  it("tells a maker's code from a country's", () => {
    expect(parseMicrochip("968000004531234")).toMatchObject({ ok: true, value: { kind: "maker" } });
    expect(parseMicrochip("040098100111917")).toMatchObject({
      ok: true,
      value: { kind: "country", prefix: "040" },
    });
    expect(parseMicrochip("900000000000001")).toMatchObject({ ok: true, value: { kind: "maker" } });
    expect(parseMicrochip("040 0981-0011.1917")).toMatchObject({
      ok: true,
      value: { text: "040098100111917" },
    });
  });

  it("takes the largest number that 38 bits hold and refuses the next", () => {
    expect(LARGEST_CHIP_NUMBER).toBe(274_877_906_943);
    expect(parseMicrochip("276274877906943").ok).toBe(true);
    expect(ruleOf(parseMicrochip("276274877906944"))).toBe("horse/chip-number@1");
    expect(ruleOf(parseMicrochip("276300000000000"))).toBe("horse/chip-number@1");
  });

  it("refuses test chips, prefix 000, an unassigned country and a wrong length", () => {
    expect(ruleOf(parseMicrochip("999000000000001"))).toBe("horse/chip-test@1");
    expect(ruleOf(parseMicrochip("000123456789012"))).toBe("horse/chip-prefix@1");
    expect(parseMicrochip("899000000000001").ok).toBe(false);
    expect(parseMicrochip("998000000000001").ok).toBe(true);
    expect(ruleOf(parseMicrochip("96800000453123"))).toBe("horse/chip-length@1");
    expect(ruleOf(parseMicrochip("9680000045312345"))).toBe("horse/chip-length@1");
    expect(ruleOf(parseMicrochip("96800000453123X"))).toBe("horse/chip-characters@1");
    expect(parseMicrochip("").ok).toBe(false);
  });

  it("accepts a code known to be misused but asks for a second identifier", () => {
    const judged = parseMicrochip("900155000101234");
    expect(judged).toMatchObject({ ok: true, value: { needsSecondIdentifier: true } });
    expect(judged.findings.some((finding) => finding.outcome === "warn")).toBe(true);
  });

  it("keeps an older ten-character chip as legacy", () => {
    expect(parseMicrochip("01-234a 5678")).toMatchObject({ ok: true, value: { kind: "legacy" } });
  });

  it("agrees with the bit layout: prefix in 10 bits and number in 38 bits survive packing", () => {
    fc.assert(
      fc.property(
        fc.constantFrom("276", "372", "826", "900", "985"),
        fc.bigInt({ min: 0n, max: 2n ** 40n - 1n }),
        (prefix, number) => {
          fc.pre(number < 10n ** 12n);
          const packed = (BigInt(prefix) << 38n) | (number & (2n ** 38n - 1n));
          const survives = (packed & (2n ** 38n - 1n)) === number;
          expect(parseMicrochip(prefix + number.toString().padStart(12, "0")).ok).toBe(survives);
        },
      ),
    );
  });
});
