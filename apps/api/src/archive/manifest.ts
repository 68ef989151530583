import { z } from "zod";
import { canonicalText, sha256Hex } from "../records/canonical.ts";
import { isSealed, keyIdOf, type Signer } from "../records/signer.ts";

const sha256 = z.string().regex(/^[0-9a-f]{64}$/u);

/** What an archive says it holds. Nothing in it may be missing, be more, or be different. */
export const manifestSchema = z.strictObject({
  format: z.literal("heelward archive"),
  version: z.literal(1),
  kind: z.enum(["backup", "practice", "case"]),
  madeAt: z.iso.datetime(),
  caseId: z.uuid().nullable(),
  horseId: z.uuid().nullable(),
  /** The schema the rows fit, oldest first. */
  migrations: z.array(z.strictObject({ name: z.string(), checksum: sha256 })),
  practices: z.array(
    z.strictObject({
      id: z.uuid(),
      /** Where the log ended when the archive was made. */
      head: z.strictObject({ sequence: z.int(), hash: sha256 }).nullable(),
    }),
  ),
  tables: z.array(z.strictObject({ name: z.string(), rows: z.int(), files: z.array(z.string()) })),
  files: z.array(z.strictObject({ path: z.string(), bytes: z.int(), sha256 })),
});
export type Manifest = z.infer<typeof manifestSchema>;

const sealSchema = z.strictObject({
  algorithm: z.literal("Ed25519"),
  keyId: z.uuid(),
  publicKey: z.string().regex(/^[0-9a-f]{64}$/u),
  signature: z.string().regex(/^[0-9a-f]{128}$/u),
});

export const MANIFEST = "manifest.json";
export const SEAL = "manifest.signature.json";

/** A file of an archive, by what the manifest says of it. */
export const describeFile = (path: string, bytes: Uint8Array): Manifest["files"][number] => ({
  path,
  bytes: bytes.length,
  sha256: sha256Hex(bytes),
});

/** The two files that hold all others together. */
export const sealManifest = (
  manifest: Manifest,
  signer: Signer,
): readonly { readonly path: string; readonly bytes: Buffer }[] => {
  const { text, signature } = signer.seal(manifest);
  const seal = {
    algorithm: "Ed25519",
    keyId: signer.keyId,
    publicKey: signer.publicKeyHex,
    signature,
  };
  return [
    { path: MANIFEST, bytes: Buffer.from(text, "utf8") },
    { path: SEAL, bytes: Buffer.from(canonicalText(seal), "utf8") },
  ];
};

/** Reads what `sealManifest` wrote. @throws Error saying what does not hold. */
export const readManifest = (
  text: string,
  sealText: string,
): { readonly manifest: Manifest; readonly publicKey: string } => {
  const seal = sealSchema.parse(JSON.parse(sealText));
  if (seal.keyId !== keyIdOf(seal.publicKey)) throw new Error("its key does not fit the key's id");
  if (!isSealed(text, seal.signature, seal.publicKey))
    throw new Error("the list of contents does not match its signature");
  if (canonicalText(seal) !== sealText) throw new Error("its signature file was rewritten");
  return { manifest: manifestSchema.parse(JSON.parse(text)), publicKey: seal.publicKey };
};
