// The service as it runs for real, in a process of its own. On request it notes the statements one
// call sends to the database, so that they can be replayed without the service around them.
import { join } from "node:path";
import pg from "pg";
import { buildApp } from "../../apps/api/dist/app.js";
import { folderBlobStore } from "../../apps/api/dist/blobs/blob-store.js";
import { connect } from "../../apps/api/dist/database/client.js";
import { createSigner } from "../../apps/api/dist/records/signer.js";

const { appUrl, dataDir, secrets, webDist } = JSON.parse(process.env.BENCH_API);

let noted;
const send = Reflect.get(pg.Client.prototype, "query");
pg.Client.prototype.query = function query(...args) {
  const [first, second] = args;
  if (noted !== undefined && first !== undefined && typeof first.submit !== "function") {
    const text = typeof first === "string" ? first : first.text;
    const values = typeof first === "string" ? second : (first.values ?? second);
    noted.push({
      text,
      values: Array.isArray(values) ? values : [],
      ...(first.name ? { name: first.name } : {}),
    });
  }
  return send.apply(this, args);
};

const db = connect(appUrl);
const app = await buildApp({
  db,
  listenUrl: appUrl,
  blobs: folderBlobStore(join(dataDir, "blobs")),
  signer: createSigner(secrets.signingSeedHex),
  secrets,
  now: () => Date.now(),
  logLevel: "silent",
  requestsPerMinute: 1_000_000_000,
  ...(webDist === undefined ? {} : { webDist }),
});
const url = await app.listen({ host: "127.0.0.1", port: 0 });
process.on("message", (message) => {
  if (message === "note") noted = [];
  if (message === "tell") {
    process.send({ statements: noted });
    noted = undefined;
  }
});
process.on("disconnect", () => process.exit(0));
process.send({ url });
