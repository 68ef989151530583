import type { Transaction } from "../database/client.ts";
import { keyIdOf, type Signer } from "./signer.ts";

/**
 * Keeps the installation's public key with the practice, once, so that its signatures can still be
 * checked after the installation got another key. Cheap to call before every signature.
 */
export const keepSigningKey = async (
  tx: Transaction,
  practiceId: string,
  signer: Signer,
): Promise<void> => {
  await tx.$executeRaw`
    INSERT INTO signing_keys (practice_id, id, public_key) VALUES (${practiceId}::uuid, ${signer.keyId}::uuid, ${signer.publicKeyHex})
    ON CONFLICT DO NOTHING`;
};

/** Public keys by id. A key's id is made from the key: one that was exchanged no longer fits and is left out. */
export const readSigningKeys = async (tx: Transaction): Promise<ReadonlyMap<string, string>> => {
  const keys = await tx.signingKey.findMany();
  return new Map(
    keys
      .filter((key) => key.algorithm === "Ed25519" && key.id === keyIdOf(key.publicKey))
      .map((key) => [key.id, key.publicKey]),
  );
};
