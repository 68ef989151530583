// `node apps/api/bin/rotate-key.mjs <token|signing|encryption|database>`: exchanges one secret of the
// data folder. What is needed of the old one is kept; the service takes the new one at its next start.
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { build, root } from "./build.mjs";

const MEANING = {
  token: "New access tokens are signed with a new key; those handed out hold until they run out.",
  signing: "New documents are signed with a new key; the old public key is kept, old ones verify.",
  encryption:
    "New secrets at rest are sealed with a new key; the old key still opens the old ones.",
  database: "The role the service works under gets a new password at the next start.",
};

const [what, ...rest] = process.argv.slice(2);
if (what === undefined || rest.length > 0 || !Object.hasOwn(MEANING, what)) {
  console.error(`Say which one: ${Object.keys(MEANING).join(", ")}.`);
  process.exit(1);
}
build();
const load = (file) => import(pathToFileURL(join(root, "apps", "api", "dist", file)).href);
try {
  const [{ readConfig }, { rotateSecret }] = [
    await load("config.js"),
    await load("database/secrets.js"),
  ];
  const { dataDir } = readConfig(process.env);
  rotateSecret(dataDir, what);
  console.log(
    `${MEANING[what]}\nStart the service again to take it. Back up ${dataDir}/secrets.json.`,
  );
} catch (error) {
  console.error(error instanceof Error ? error.message : error);
  process.exit(1);
}
