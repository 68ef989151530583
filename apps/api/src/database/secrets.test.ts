import { createPrivateKey, createPublicKey } from "node:crypto";
import {
  chmodSync,
  mkdtempSync,
  readFileSync,
  readdirSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { createSigner } from "../records/signer.ts";
import { loadOrCreateSecrets, rotateSecret } from "./secrets.ts";

describe("the secrets of an installation", () => {
  let folder = "";
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), "heelward-secrets-"));
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  it("are made once and stay the same, because signatures depend on them", () => {
    const first = loadOrCreateSecrets(folder);
    expect(loadOrCreateSecrets(folder)).toEqual(first);
    expect(readdirSync(folder)).toEqual(["secrets.json"]);
  });

  it("differ between installations", () => {
    const other = mkdtempSync(join(tmpdir(), "heelward-secrets-"));
    const [a, b] = [loadOrCreateSecrets(folder), loadOrCreateSecrets(other)];
    rmSync(other, { recursive: true });
    for (const key of Object.keys(a) as (keyof typeof a)[]) {
      if (key !== "version") expect(a[key]).not.toBe(b[key]);
    }
  });

  it("hold a key pair whose halves belong together", () => {
    const secrets = loadOrCreateSecrets(folder);
    const derived = createPublicKey(createPrivateKey(secrets.tokenPrivateKeyPem));
    expect(derived.export({ type: "spki", format: "pem" })).toBe(secrets.tokenPublicKeyPem);
    expect(derived.asymmetricKeyType).toBe("ed25519");
  });

  it("can be read by their owner only, also when the file was opened up since", () => {
    loadOrCreateSecrets(folder);
    const path = join(folder, "secrets.json");
    expect(statSync(path).mode & 0o777).toBe(0o600);
    chmodSync(path, 0o644);
    loadOrCreateSecrets(folder);
    expect(statSync(path).mode & 0o777).toBe(0o600);
  });

  it.each([
    ["cut short", (text: string) => text.slice(0, 100)],
    ["without a seed", (text: string) => text.replace(/"signingSeedHex": "\w+",/u, "")],
    ["with a short seed", (text: string) => text.replace(/("signingSeedHex": ")\w+/u, "$1ab")],
  ])(
    "are never replaced when the file is %s: the signatures would be orphaned",
    (_case, damage) => {
      const secrets = loadOrCreateSecrets(folder);
      const path = join(folder, "secrets.json");
      const damaged = damage(readFileSync(path, "utf8"));
      writeFileSync(path, damaged);
      expect(() => loadOrCreateSecrets(folder)).toThrow("backup");
      expect(readFileSync(path, "utf8")).toBe(damaged);
      try {
        loadOrCreateSecrets(folder);
      } catch (error) {
        expect(String(error)).not.toContain(secrets.databaseAppPassword);
      }
    },
  );

  it("can be exchanged one by one, with what is needed of the old one kept", () => {
    const before = loadOrCreateSecrets(folder);
    for (const what of ["token", "signing", "encryption", "database"] as const)
      rotateSecret(folder, what);
    const after = loadOrCreateSecrets(folder);
    for (const key of [
      "tokenPrivateKeyPem",
      "tokenPublicKeyPem",
      "signingSeedHex",
      "encryptionKeyHex",
      "databaseAppPassword",
    ] as const)
      expect(after[key], key).not.toBe(before[key]);
    expect(after.databaseOwnerPassword).toBe(before.databaseOwnerPassword);
    expect(after.earlierTokenPublicKeysPem).toEqual([before.tokenPublicKeyPem]);
    expect(after.earlierEncryptionKeysHex).toEqual([before.encryptionKeyHex]);
    expect(after.earlierSigningPublicKeysHex).toEqual([
      createSigner(before.signingSeedHex).publicKeyHex,
    ]);
    expect(statSync(join(folder, "secrets.json")).mode & 0o777).toBe(0o600);
    expect(readdirSync(folder)).toEqual(["secrets.json"]);
  });

  it("are read from a file of an earlier version, which knew no rotation", () => {
    const made = loadOrCreateSecrets(folder);
    const {
      earlierTokenPublicKeysPem: _t,
      earlierSigningPublicKeysHex: _s,
      earlierEncryptionKeysHex: _e,
      ...earlier
    } = made;
    writeFileSync(join(folder, "secrets.json"), JSON.stringify(earlier));
    expect(loadOrCreateSecrets(folder)).toEqual(made);
  });

  it("are never made by the command that exchanges them", () => {
    expect(() => rotateSecret(folder, "token")).toThrow("start the service once");
    expect(readdirSync(folder)).toEqual([]);
  });
});
