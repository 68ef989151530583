import { fleschKincaid } from "flesch-kincaid";
import { syllable } from "syllable";
import { describe, expect, it } from "vitest";
import { care } from "./en/care.ts";
import { firstAid } from "./en/firstAid.ts";
import { glossary as germanGlossary } from "./de/glossary.ts";
import { glossary } from "./en/glossary.ts";
import { portal } from "./en/portal.ts";
import { watches } from "./en/watches.ts";

/** Every text of a catalogue, placeholders read as a short word. */
const textsOf = (part: unknown): readonly string[] =>
  typeof part === "string"
    ? [part.replaceAll(/\{\{\w+\}\}/gu, "it")]
    : part !== null && typeof part === "object"
      ? Object.values(part).flatMap(textsOf)
      : [];
/** Labels of a word or two are no sentences; a reading grade is one of sentences. */
const LEAST_WORDS = 5;
const wordsOf = (text: string): readonly string[] => text.match(/[\p{L}’']+/gu) ?? [];
const sentencesOf = (part: unknown): readonly string[] =>
  textsOf(part)
    .flatMap((text) => text.split(/(?<=[.!?:;])\s+/u))
    .filter((sentence) => wordsOf(sentence).length >= LEAST_WORDS);

/** Grade by Kincaid et al. 1975, Navy Research Branch Report 8-75, as flesch-kincaid computes it. */
const gradeOf = (part: unknown): number => {
  const sentences = sentencesOf(part);
  const words = sentences.flatMap(wordsOf);
  return fleschKincaid({
    sentence: sentences.length,
    word: words.length,
    syllable: words.reduce((sum, word) => sum + Math.max(1, syllable(word)), 0),
  });
};
/** A pupil of grade n is n + 5 to n + 6 years old. From memory: health writers aim at 9 to 11 years. */
const readingAge = (part: unknown): number => gradeOf(part) + 5;

describe("what owners and carers read", () => {
  it.each(Object.entries({ care, portal, watches, firstAid, glossary }))(
    "asks for a reading age of at most 11 years in %s",
    (_name, part) => {
      expect(sentencesOf(part).length).toBeGreaterThan(5);
      expect(readingAge(part)).toBeLessThanOrEqual(11);
    },
  );

  it("is told apart from the prose of a contract, which the formula sets far above", () => {
    expect(
      readingAge({
        text: "Notwithstanding previously communicated recommendations, administration of anti-inflammatory pharmaceuticals necessitates authorisation.",
      }),
    ).toBeGreaterThan(16);
  });
});

/** The trade's words an owner or a carer may meet, on paper or in talk. Common practice, no source. */
const TRADE_WORDS = [
  /laminitis/u,
  /distal phalanx|P3/u,
  /capsular rotation/u,
  /phalangeal rotation/u,
  /distal displacement/u,
  /coronary.extensor distance/u,
  /palmar .*angle/u,
  /horn.lamellar zone/u,
  /sole depth/u,
  /breakover/u,
  /coronary band/u,
  /growth plane/u,
  /wedge/u,
  /re-shoe/u,
  /as-done/u,
  /bare with pads/u,
  /set back/u,
  /wooden shoe/u,
  /heart-bar/u,
  /regional anaesthesia/u,
  /digital pulse/u,
  /modified laminitis score/u,
  /Obel/u,
  /NSAID/u,
  /insulin dysregulation/u,
  /pituitary pars intermedia/u,
  /contralateral limb/u,
  /box rest/u,
  /beyond measurement error/u,
  /within measurement error/u,
  /forecast limit day/u,
  /euthanasia/u,
] as const;

describe("the glossary behind a tap", () => {
  const entries = Object.values(glossary);

  it.each(TRADE_WORDS.map((word) => [word.source, word] as const))(
    "has an entry for %s, in both languages",
    (_name, word) => {
      const key = Object.entries(glossary).find(([, one]) => word.test(one.trade))?.[0];
      expect(key).toBeDefined();
      expect(germanGlossary).toHaveProperty(String(key));
    },
  );

  it("explains no word by itself and none with another trade word that has an entry", () => {
    for (const { say, trade, meaning } of entries) {
      expect(meaning.length).toBeGreaterThan(8);
      expect([say, trade]).not.toContain(meaning);
      expect(meaning).not.toMatch(/distal|capsular|phalan|lamellar|contralateral|NSAID|coronary/u);
    }
  });

  it("is needed for no trade word in what carers and owners read: the plain one stands there", () => {
    const spoken = [care, portal, watches, firstAid].flatMap(textsOf).join("\n");
    expect(spoken).not.toMatch(
      /distal|capsular|phalan|lamellar|contralateral|NSAID|coronary|digital pulse|euthan|coffin|P3/iu,
    );
  });
});
