import { describe, expect, it } from "vitest";
import { typedNumber, typedText } from "./use-draft.ts";

describe("what a person types", () => {
  it("reads a decimal comma as well as a point, because both are common where horses are weighed", () => {
    expect(typedNumber("12,5")).toBe(12.5);
    expect(typedNumber(" 12.5 ")).toBe(12.5);
  });

  it("does not make a number of nothing or of words, so that no figure appears that nobody typed", () => {
    expect(typedNumber("")).toBeUndefined();
    expect(typedNumber("  ")).toBeUndefined();
    expect(typedNumber("about 400")).toBeUndefined();
    expect(typedNumber("1.234,5")).toBeUndefined();
  });

  it("leaves out text that is only space", () => {
    expect(typedText(" \n ")).toBeUndefined();
    expect(typedText(" bute ")).toBe("bute");
  });
});
