import fc from "fast-check";
import { describe, expect, it, vi } from "vitest";

vi.mock("virtual:operation-table", async () => {
  const { OPERATIONS } = await import("@heelward/contracts");
  return {
    OPERATION_TABLE: Object.fromEntries(
      OPERATIONS.map((one) => [
        one.id,
        [one.method, one.path, one.produces === undefined ? "" : "b", one.tag],
      ]),
    ),
  };
});

const { isAffected } = await import("./affected-by.ts");
const { waitMs } = await import("./live.ts");

describe("what a change touches", () => {
  it("touches the queue and the case file whatever was changed, because they are made of all the rest", () => {
    for (const topic of ["prescriptions", "horses", "resets", "laboratory", "clock"])
      for (const id of ["readQueue", "readCaseFile", "readTimeline", "readCareDay"])
        expect(isAffected(id, [topic]), `${id} after ${topic}`).toBe(true);
  });

  it("touches the day route when a reset was booked, and leaves the settings alone", () => {
    expect(isAffected("readRouteDay", ["resets"])).toBe(true);
    expect(isAffected("listSettings", ["resets"])).toBe(false);
    expect(isAffected("listSettings", ["settings"])).toBe(true);
  });

  it("never touches files, which are kept under their own id, not even after a gap", () => {
    expect(isAffected("readFilmPixels", ["radiographs"])).toBe(false);
    expect(isAffected("readFilmPixels", ["everything"])).toBe(false);
    expect(isAffected("readRadiograph", ["everything"])).toBe(true);
  });

  it("touches nothing that is not an operation", () => {
    expect(isAffected("draft", ["everything"])).toBe(false);
  });
});

describe("coming back after the line dropped", () => {
  it("waits longer after each failure, never above a minute, and never all at the same moment", () => {
    fc.assert(
      fc.property(fc.nat(40), fc.double({ min: 0, max: 1, noNaN: true }), (failures, random) => {
        const wait = waitMs(failures, random);
        expect(wait).toBeGreaterThanOrEqual(500);
        expect(wait).toBeLessThanOrEqual(60_000);
        expect(waitMs(failures + 1, random)).toBeGreaterThanOrEqual(wait);
      }),
    );
    expect(waitMs(3, 0)).toBeLessThan(waitMs(3, 1));
  });
});
