import { describe, expect, it } from "vitest";
import { createSigner, isSealed, keyIdOf, signTextWith } from "./signer.ts";

// source: RFC 8032, section 7.1: TEST 1, TEST 2, TEST 3
const VECTORS = [
  {
    name: "TEST 1",
    seed: "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
    publicKey: "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
    message: "",
    signature:
      "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
  },
  {
    name: "TEST 2",
    seed: "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
    publicKey: "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
    message: "r",
    signature:
      "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
  },
  {
    name: "TEST 3 (its message is no text, so the key pair only)",
    seed: "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
    publicKey: "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
    message: null,
    signature: "",
  },
] as const;

describe("signatures by the standard's own vectors (RFC 8032, section 7.1)", () => {
  it.each(VECTORS)("$name", ({ seed, publicKey, message, signature }) => {
    expect(createSigner(seed).publicKeyHex).toBe(publicKey);
    if (message === null) return;
    expect(signTextWith(message, seed)).toBe(signature);
    expect(isSealed(message, signature, publicKey)).toBe(true);
  });

  it("holds for exactly one text, one signature and one key", () => {
    const [first, second] = VECTORS;
    const signer = createSigner(first.seed);
    const { text, signature } = signer.seal({ b: 1, a: "two" });
    expect(text).toBe('{"a":"two","b":1}');
    expect(isSealed(text, signature, signer.publicKeyHex)).toBe(true);
    for (let at = 0; at < text.length; at += 1)
      expect(
        isSealed(
          `${text.slice(0, at)}${text[at] === "7" ? "8" : "7"}${text.slice(at + 1)}`,
          signature,
          signer.publicKeyHex,
        ),
      ).toBe(false);
    for (let at = 0; at < signature.length; at += 1)
      expect(
        isSealed(
          text,
          `${signature.slice(0, at)}${signature[at] === "7" ? "8" : "7"}${signature.slice(at + 1)}`,
          signer.publicKeyHex,
        ),
      ).toBe(false);
    expect(isSealed(text, signature, second.publicKey)).toBe(false);
    expect(isSealed(text, `${signature}zz`, signer.publicKeyHex)).toBe(false);
    expect(isSealed(text, "", signer.publicKeyHex)).toBe(false);
  });

  it("names a key by the key itself", () => {
    const [first, second] = VECTORS;
    expect(createSigner(first.seed).keyId).toBe(keyIdOf(first.publicKey));
    expect(keyIdOf(first.publicKey)).not.toBe(keyIdOf(second.publicKey));
  });
});
