import { createCipheriv, createDecipheriv, randomBytes } from "node:crypto";

/** Keeps a short secret readable for this installation only, for as long as a letter waits to be sent. */
export interface Sealer {
  /** `boundTo` names the row the secret belongs to: moved to another row it cannot be opened. */
  readonly seal: (secret: string, boundTo: string) => string;
  /** @throws Error when the text was changed, belongs elsewhere or was sealed under another key. */
  readonly open: (sealed: string, boundTo: string) => string;
}

const IV_BYTES = 12;
const TAG_BYTES = 16;

const keyOf = (hex: string): Buffer => {
  const key = Buffer.from(hex, "hex");
  if (key.length !== 32) throw new RangeError("the sealing key has 32 bytes");
  return key;
};

const openWith = (key: Buffer, bytes: Buffer, boundTo: string): string => {
  const decipher = createDecipheriv("aes-256-gcm", key, bytes.subarray(0, IV_BYTES));
  decipher.setAAD(Buffer.from(boundTo));
  decipher.setAuthTag(bytes.subarray(IV_BYTES, IV_BYTES + TAG_BYTES));
  const text = decipher.update(bytes.subarray(IV_BYTES + TAG_BYTES));
  return Buffer.concat([text, decipher.final()]).toString("utf8");
};

/**
 * AES-256-GCM with a random 96-bit nonce. Seals with the first key and opens with any, newest first.
 * source: NIST SP 800-38D. @throws RangeError unless every key has 32 bytes.
 */
export const createSealer = (keyHex: string, earlierKeysHex: readonly string[] = []): Sealer => {
  const key = keyOf(keyHex);
  const keys = [key, ...earlierKeysHex.map(keyOf)];
  return {
    seal: (secret, boundTo) => {
      const iv = randomBytes(IV_BYTES);
      const cipher = createCipheriv("aes-256-gcm", key, iv);
      cipher.setAAD(Buffer.from(boundTo));
      const text = Buffer.concat([cipher.update(secret, "utf8"), cipher.final()]);
      return Buffer.concat([iv, cipher.getAuthTag(), text]).toString("base64url");
    },
    open: (sealed, boundTo) => {
      const bytes = Buffer.from(sealed, "base64url");
      let last: unknown;
      for (const one of keys) {
        try {
          return openWith(one, bytes, boundTo);
        } catch (error) {
          last = error;
        }
      }
      throw last;
    },
  };
};
