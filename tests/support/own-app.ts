import { generateKeyPairSync } from "node:crypto";
import { tmpdir } from "node:os";
import { inject } from "vitest";
import { buildApp, type Dependencies } from "../../apps/api/src/app.ts";
import { folderBlobStore } from "../../apps/api/src/blobs/blob-store.ts";
import { connect } from "../../apps/api/src/database/client.ts";
import { appRole, urlAs } from "../../apps/api/src/database/migrate.ts";
import { createSigner } from "../../apps/api/src/records/signer.ts";
import { TEST_MAIL, type TestService } from "./service.ts";

/** A key pair for access tokens. */
export const newTokenKeys = () =>
  generateKeyPairSync("ed25519", {
    privateKeyEncoding: { type: "pkcs8", format: "pem" },
    publicKeyEncoding: { type: "spki", format: "pem" },
  });

/** The service once more on the database of a test, set up in another way. */
export const startOwnApp = async (service: TestService, differently: Partial<Dependencies>) => {
  const { privateKey, publicKey } = newTokenKeys();
  const db = connect(urlAs(service.ownerUrl, appRole, inject("pg").appPassword), 3);
  const app = await buildApp({
    db,
    blobs: folderBlobStore(tmpdir()),
    signer: createSigner("00".repeat(32)),
    secrets: { tokenPrivateKeyPem: privateKey, tokenPublicKeyPem: publicKey },
    now: () => service.now(),
    mail: TEST_MAIL,
    requestsPerMinute: 1_000_000,
    signInsPerMinute: 1_000_000,
    ...differently,
  });
  await app.ready();
  return {
    app,
    close: async (): Promise<void> => {
      await app.close();
      await db.$disconnect();
    },
  };
};
