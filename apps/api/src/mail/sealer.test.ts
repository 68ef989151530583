import { createDecipheriv } from "node:crypto";
import { describe, expect, it } from "vitest";
import { createSealer } from "./sealer.ts";

const KEY = "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff";

describe("a sealed secret", () => {
  const sealer = createSealer(KEY);

  it("comes back under the same key and row", () => {
    expect(sealer.open(sealer.seal("täil", "row 1"), "row 1")).toBe("täil");
  });

  it("is AES-256-GCM as the standard has it, so that another program can open it", () => {
    const bytes = Buffer.from(sealer.seal("link", "row 1"), "base64url");
    const other = createDecipheriv("aes-256-gcm", Buffer.from(KEY, "hex"), bytes.subarray(0, 12));
    other.setAAD(Buffer.from("row 1"));
    other.setAuthTag(bytes.subarray(12, 28));
    expect(other.update(bytes.subarray(28)).toString() + other.final().toString()).toBe("link");
  });

  it("never looks the same twice", () => {
    expect(sealer.seal("link", "row 1")).not.toBe(sealer.seal("link", "row 1"));
  });

  it("cannot be opened for another row, under another key, or when a bit was changed", () => {
    const sealed = sealer.seal("link", "row 1");
    expect(() => sealer.open(sealed, "row 2")).toThrow();
    expect(() => createSealer("f".repeat(64)).open(sealed, "row 1")).toThrow();
    const bytes = Buffer.from(sealed, "base64url");
    bytes[bytes.length - 1] = (bytes.at(-1) ?? 0) ^ 1;
    expect(() => sealer.open(bytes.toString("base64url"), "row 1")).toThrow();
  });

  it("refuses a key of the wrong length", () => {
    expect(() => createSealer("abcd")).toThrow(RangeError);
  });

  it("opens what was sealed before the key was exchanged, and seals with the new key only", () => {
    const [old, fresh] = ["11".repeat(32), "22".repeat(32)];
    const sealed = createSealer(old).seal("a secret", "row");
    const after = createSealer(fresh, [old]);
    expect(after.open(sealed, "row")).toBe("a secret");
    expect(() => createSealer(old).open(after.seal("a secret", "row"), "row")).toThrow();
    expect(() => after.open(sealed, "another row")).toThrow();
  });
});
