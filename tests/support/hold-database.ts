import { startEmbeddedPostgres } from "../../apps/api/src/database/embedded.ts";

// A process that serves a data folder until it is killed; prints the server's process id.
const [, , dataDir = "", password = ""] = process.argv;
const server = await startEmbeddedPostgres({ dataDir, password, isDurable: true });
console.log(server.pid());
setInterval(() => undefined, 60_000);
