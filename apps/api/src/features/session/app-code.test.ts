import { describe, expect, it } from "vitest";
import { Secret } from "otpauth";
import { enrolmentOf, newAppKey, stepOfCode } from "./app-code.ts";

// source: RFC 6238, appendix B, SHA-1 rows: the key is the ASCII text "12345678901234567890"; the
// table has eight digits, of which an app with six digits shows the last six (RFC 4226, section 5.3).
const KEY = Secret.fromLatin1("12345678901234567890").base32;
const VECTORS = [
  [59, "94287082", 0x1],
  [1_111_111_109, "07081804", 0x23523ec],
  [1_111_111_111, "14050471", 0x23523ed],
  [1_234_567_890, "89005924", 0x273ef07],
  [2_000_000_000, "69279037", 0x3f940aa],
  [20_000_000_000, "65353130", 0x27bc86aa],
] as const;

describe("codes of an authenticator app", () => {
  it.each(VECTORS)("are those of the standard at second %i", (second, digits, step) => {
    expect(stepOfCode(KEY, digits.slice(2), second * 1000, 0)).toBe(step);
  });

  it("are taken one step early or late, and no further", () => {
    const [second, digits, step] = VECTORS[2];
    for (const [drift, fits] of [
      [-60, false],
      [-30, true],
      [30, true],
      [60, false],
    ] as const)
      expect(stepOfCode(KEY, digits.slice(2), (second + drift) * 1000, 0)).toBe(fits ? step : null);
  });

  it("work once: neither the same step nor an earlier one is taken again", () => {
    const [second, digits, step] = VECTORS[3];
    expect(stepOfCode(KEY, digits.slice(2), second * 1000, step - 1)).toBe(step);
    expect(stepOfCode(KEY, digits.slice(2), second * 1000, step)).toBeNull();
  });

  it("come from keys of 160 bits that an app takes over by the address", () => {
    const key = newAppKey();
    expect(Secret.fromBase32(key).bytes).toHaveLength(20);
    expect(newAppKey()).not.toBe(key);
    const { address, picture, size } = enrolmentOf(key, "nessa@practice.invalid");
    const read = new URL(address);
    expect(read.protocol).toBe("otpauth:");
    expect(read.searchParams.get("secret")).toBe(key);
    expect(read.searchParams.get("issuer")).toBe("Heelward");
    expect(read.searchParams.get("digits")).toBe("6");
    expect(read.searchParams.get("period")).toBe("30");
    expect(size).toBeGreaterThan(20);
    expect(picture).toMatch(/^(M\d+ \d+h1v1h-1z)+$/u);
  });
});
