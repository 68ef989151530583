import { createPrivateKey, createPublicKey, sign, verify, type KeyObject } from "node:crypto";
import { v5 as uuidV5 } from "uuid";
import { canonicalText } from "./canonical.ts";

/** DER head of a PKCS#8 Ed25519 private key (RFC 8410), before the 32-byte seed. */
const PKCS8_HEAD = Buffer.from("302e020100300506032b657004220420", "hex");
/** DER head of an Ed25519 public key (RFC 8410), before its 32 bytes. */
const SPKI_HEAD = Buffer.from("302a300506032b6570032100", "hex");
const KEY_NAMESPACE = "5d2f1c1e-6f0a-5b8e-9c47-3a1e8d5b2f90";

/** Seals documents with the installation's Ed25519 key (RFC 8032). */
export interface Signer {
  readonly keyId: string;
  readonly publicKeyHex: string;
  /** Canonical text of the document and its signature in hex. */
  readonly seal: (document: unknown) => { readonly text: string; readonly signature: string };
}

/** Id of a key, made from the key itself, so that no other key can take its place. */
export const keyIdOf = (publicKeyHex: string): string => uuidV5(publicKeyHex, KEY_NAMESPACE);

const publicKeyFromHex = (hex: string): KeyObject =>
  createPublicKey({
    key: Buffer.concat([SPKI_HEAD, Buffer.from(hex, "hex")]),
    format: "der",
    type: "spki",
  });

const privateKeyFromSeed = (seedHex: string): KeyObject =>
  createPrivateKey({
    key: Buffer.concat([PKCS8_HEAD, Buffer.from(seedHex, "hex")]),
    format: "der",
    type: "pkcs8",
  });

const signText = (text: string, privateKey: KeyObject): string =>
  sign(null, Buffer.from(text, "utf8"), privateKey).toString("hex");

/** Signature in hex over exactly `text` (RFC 8032, section 5.1.6). @param seedHex 32 bytes in hex. */
export const signTextWith = (text: string, seedHex: string): string =>
  signText(text, privateKeyFromSeed(seedHex));

/** @param seedHex 32 bytes in hex. */
export const createSigner = (seedHex: string): Signer => {
  const privateKey = privateKeyFromSeed(seedHex);
  const spki = createPublicKey(privateKey).export({ format: "der", type: "spki" });
  const publicKeyHex = spki.subarray(SPKI_HEAD.length).toString("hex");
  return {
    keyId: keyIdOf(publicKeyHex),
    publicKeyHex,
    seal: (document) => {
      const text = canonicalText(document);
      return { text, signature: signText(text, privateKey) };
    },
  };
};

/** True when `signatureHex` was made over exactly `text` by the key; 128 hex digits, nothing else. */
export const isSealed = (text: string, signatureHex: string, publicKeyHex: string): boolean =>
  /^[\da-f]{128}$/.test(signatureHex) &&
  verify(
    null,
    Buffer.from(text, "utf8"),
    publicKeyFromHex(publicKeyHex),
    Buffer.from(signatureHex, "hex"),
  );
