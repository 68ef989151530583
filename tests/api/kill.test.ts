import { describe, expect, it } from "vitest";
import { runKillTrial } from "../support/kill-trial.ts";

// The full size (200 kills, 5,000 writes) is a part of the bench: `npm run bench -- loss`.
describe("killing the service and its database while people write", () => {
  it("loses no acknowledged write and doubles none, and log, rows and stored bytes agree", async () => {
    const found = await runKillTrial({ kills: 4, writes: 36, hands: 3 });
    expect(found.killed).toEqual({ service: 1, database: 1, connection: 1, both: 1 });
    expect(Object.keys(found.acknowledged).toSorted()).toEqual(
      ["as done", "dose", "film", "note", "photo"].toSorted(),
    );
    expect(found.repeated, "some writes must have been cut off").toBeGreaterThan(0);
    expect(found.lost).toEqual([]);
    expect(found.doubled).toEqual([]);
    expect(found.answeredOtherwise).toEqual([]);
    expect(found.faults).toEqual([]);
  }, 600_000);
});
