import { describe, expect, it } from "vitest";
import { nameMayGoOn, RETENTION_SETTINGS } from "./index.ts";

describe("how long a name stays on the clinical record", () => {
  const years = { clinicalNameYears: 7, medicineRecordYears: 5 };

  it("is the longer of the two terms and a day", () => {
    expect(nameMayGoOn("2026-10-14", years)).toBe("2033-10-15");
    expect(nameMayGoOn("2026-10-14", { clinicalNameYears: 3, medicineRecordYears: 5 })).toBe(
      "2031-10-15",
    );
    expect(nameMayGoOn("2026-12-31", years)).toBe("2034-01-01");
  });

  it("knows that 29 February has no anniversary in most years", () => {
    expect(nameMayGoOn("2028-02-29", years)).toBe("2035-03-01");
    expect(nameMayGoOn("2028-02-29", { ...years, clinicalNameYears: 8 })).toBe("2036-03-01");
  });

  // source: Regulation (EU) 2019/6, Article 108 (five years), from memory
  it("never lets a practice keep medicine records for less than the law's five years", () => {
    expect(RETENTION_SETTINGS.medicineRecordYears.value).toBe(5);
    expect(RETENTION_SETTINGS.medicineRecordYears.change).toBe("tighten");
  });
});
