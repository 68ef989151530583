import { generateKeyPairSync } from "node:crypto";
import { tmpdir } from "node:os";
import { inject } from "vitest";
import { buildApp } from "../../apps/api/src/app.ts";
import { folderBlobStore } from "../../apps/api/src/blobs/blob-store.ts";
import { connect } from "../../apps/api/src/database/client.ts";
import { appRole, urlAs } from "../../apps/api/src/database/migrate.ts";
import { createSigner } from "../../apps/api/src/records/signer.ts";
import type { TestService } from "./service.ts";

/** A second process of the service on the same database, with keys of its own, on a port of its own. */
export const startSecondProcess = async (service: TestService, webDist?: string) => {
  const { privateKey, publicKey } = generateKeyPairSync("ed25519", {
    privateKeyEncoding: { type: "pkcs8", format: "pem" },
    publicKeyEncoding: { type: "spki", format: "pem" },
  });
  const appUrl = urlAs(service.ownerUrl, appRole, inject("pg").appPassword);
  const db = connect(appUrl, 2);
  const app = await buildApp({
    db,
    listenUrl: appUrl,
    blobs: folderBlobStore(tmpdir()),
    signer: createSigner("00".repeat(32)),
    secrets: { tokenPrivateKeyPem: privateKey, tokenPublicKeyPem: publicKey },
    now: () => service.now(),
    ...(webDist === undefined ? {} : { webDist }),
  });
  const url = await app.listen({ port: 0, host: "127.0.0.1" });
  return {
    app,
    url,
    close: async (): Promise<void> => {
      await app.close();
      await db.$disconnect();
    },
  };
};
