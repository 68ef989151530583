import { describe, expect, it } from "vitest";
import { accountLimit } from "./account-limit.ts";

const MINUTE_MS = 60_000;

describe("requests of one account", () => {
  it("are as many a minute as it says, and the refusal says how long to wait", () => {
    const limit = accountLimit(3);
    for (let turn = 0; turn < 3; turn += 1) limit.count("vet", 1_000);
    expect(() => limit.count("vet", 21_000)).toThrow(
      expect.objectContaining({ slug: "rate-limited", extras: { retryAfterSeconds: 40 } }),
    );
    expect(() => limit.count("vet", 1_000 + MINUTE_MS)).not.toThrow();
  });

  it("are counted for each account alone", () => {
    const limit = accountLimit(1);
    limit.count("vet", 0);
    expect(() => limit.count("farrier", 0)).not.toThrow();
    expect(() => limit.count("vet", 0)).toThrow();
  });

  it("are counted anew when the clock was set back, instead of for ever", () => {
    const limit = accountLimit(1);
    limit.count("vet", 10 * MINUTE_MS);
    expect(() => limit.count("vet", 0)).not.toThrow();
  });
});
