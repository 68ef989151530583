// `npm start`: makes what is missing, then runs the service and passes signals on to it.
import { spawn } from "node:child_process";
import { join } from "node:path";
import { build, checkNode, nodeProgram, root } from "./build.mjs";

checkNode();
build();

// The channel tells the service when this process is gone, however it went.
const service = spawn(
  nodeProgram(),
  ["--enable-source-maps", join(root, "apps", "api", "dist", "main.js")],
  { stdio: ["ignore", "inherit", "inherit", "ipc"] },
);
for (const signal of ["SIGINT", "SIGTERM", "SIGHUP"]) {
  process.on(signal, () => service.kill(signal));
}
// npm runs this through a shell that does not pass signals on: when npm is stopped, the shell just
// disappears and this process has another parent from then on.
if (process.env.npm_lifecycle_event !== undefined) {
  const parent = process.ppid;
  const watch = setInterval(() => {
    if (process.ppid === parent) return;
    clearInterval(watch); // asking twice would mean: at once
    service.kill("SIGTERM");
  }, 500);
  watch.unref();
}
service.on("error", (error) => {
  console.error(`The service could not be started: ${error.message}`);
  process.exit(1);
});
service.on("exit", (code) => process.exit(code ?? 1));
