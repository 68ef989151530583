import { describe, expect, it } from "vitest";
import {
  dorsopalmarKeys,
  dorsopalmarLandmarks,
  lateromedialKeys,
  lateromedialLandmarks,
} from "./landmarks.ts";

describe("landmark guides", () => {
  it("explain every key once, in placing order, with a definition and a source", () => {
    expect(lateromedialLandmarks.map(({ key }) => key)).toEqual([...lateromedialKeys]);
    expect(dorsopalmarLandmarks.map(({ key }) => key)).toEqual([...dorsopalmarKeys]);
    for (const { label, definition, source } of [
      ...lateromedialLandmarks,
      ...dorsopalmarLandmarks,
    ]) {
      expect(label.length).toBeGreaterThan(3);
      expect(definition).toMatch(/\.$/);
      expect(source.length).toBeGreaterThan(5);
    }
  });

  it("never use the word that owners fear", () => {
    const text = JSON.stringify([lateromedialLandmarks, dorsopalmarLandmarks]);
    expect(text).not.toMatch(/coffin/i);
  });
});
