import { describe, expect, it } from "vitest";
import { numberInWords } from "./number-in-words.ts";

// Source: British usage in dictionaries (hyphen from 21 to 99, "and" before the last part under a hundred).
describe("a quantity in words", () => {
  it.each([
    [0, "zero"],
    [12, "twelve"],
    [20, "twenty"],
    [21, "twenty-one"],
    [100, "one hundred"],
    [105, "one hundred and five"],
    [999, "nine hundred and ninety-nine"],
    [1000, "one thousand"],
    [1005, "one thousand and five"],
    [1250, "one thousand two hundred and fifty"],
    [12_000, "twelve thousand"],
    [999_999, "nine hundred and ninety-nine thousand nine hundred and ninety-nine"],
    [1.5, "one point five"],
    [0.25, "zero point two five"],
    [10.05, "ten point zero five"],
  ])("reads %d as %s", (value, words) => {
    expect(numberInWords(value)).toBe(words);
  });

  it("refuses what is no quantity, since a wrong word on a prescription is worse than none", () => {
    for (const value of [-1, 1_000_000, Number.NaN])
      expect(() => numberInWords(value)).toThrow(RangeError);
  });
});
