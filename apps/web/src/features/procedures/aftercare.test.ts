import { describe, expect, it } from "vitest";
import { aftercareOf } from "./aftercare.ts";

describe("aftercare as a vet types it", () => {
  it("is due on the day before the colon, and on the next day without one", () => {
    expect(aftercareOf("Keep dry\n3: change the bandage\n\n 10 : Film the foot ")).toEqual([
      { line: "Keep dry", day: 1 },
      { line: "change the bandage", day: 3 },
      { line: "Film the foot", day: 10 },
    ]);
  });

  it("leaves other colons and long figures alone, and keeps ten lines", () => {
    expect(aftercareOf("Ring: at once if sore")).toEqual([
      { line: "Ring: at once if sore", day: 1 },
    ]);
    expect(
      aftercareOf(Array.from({ length: 12 }, (_, at) => `line ${at}`).join("\n")),
    ).toHaveLength(10);
  });
});
