import { createHash } from "node:crypto";
import canonicalize from "canonicalize";

/**
 * Canonical JSON text (RFC 8785, JSON Canonicalization Scheme): the same value always gives the
 * same bytes, whatever the order of its keys. @throws on values JSON cannot hold.
 */
export const canonicalText = (value: unknown): string => {
  const text = canonicalize(value);
  if (text === undefined) throw new TypeError("not a JSON value");
  return text;
};

export const sha256Hex = (bytes: string | Uint8Array): string =>
  createHash("sha256").update(bytes).digest("hex");
