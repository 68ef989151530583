import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { splitByWords } from "./split-by-words.ts";

const marked = (text: string, words: readonly string[]) =>
  splitByWords(text, words).flatMap((part) => (part.word === undefined ? [] : [part.text]));

describe("words of the glossary in a text", () => {
  it("are marked as whole words only, because a reset is not part of a preset", () => {
    expect(marked("The reset is not a preset.", ["reset"])).toEqual(["reset"]);
    expect(marked("Bösesrehe und Rehe", ["rehe"])).toEqual(["Rehe"]);
  });

  it("prefer the longer word, because sole depth is not the sole", () => {
    expect(marked("Sole depth grew; the sole is firm.", ["sole", "sole depth"])).toEqual([
      "Sole depth",
      "sole",
    ]);
  });

  it("are marked once each, because a text full of buttons is hard to read", () => {
    expect(marked("breakover, Breakover, breakover", ["breakover"])).toEqual(["breakover"]);
  });

  it("never change the text", () => {
    fc.assert(
      fc.property(fc.string(), fc.array(fc.string()), (text, words) => {
        expect(
          splitByWords(text, words)
            .map((part) => part.text)
            .join(""),
        ).toBe(text);
      }),
    );
  });
});
