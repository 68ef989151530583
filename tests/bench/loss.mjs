// Nothing lost: the service, its database, one of the database's processes or all of it is killed
// (SIGKILL) 200 times at random moments while 5,000 writes with uploads are acknowledged.
import { fileURLToPath } from "node:url";
import { spawnSync } from "node:child_process";
import { nodeProgram } from "../../apps/api/bin/build.mjs";

/** Other sizes: `LOSS_KILLS=20 LOSS_WRITES=500 npm run bench -- loss`. */
export const loss = () => {
  console.log("Nothing lost: killed at random moments during writes with uploads");
  // From the sources, with a Node that takes types away by itself.
  spawnSync(
    nodeProgram(),
    [
      "--conditions=development",
      fileURLToPath(new URL("loss-process.mjs", import.meta.url)),
      process.env.LOSS_KILLS ?? "200",
      process.env.LOSS_WRITES ?? "5000",
    ],
    { stdio: "inherit" },
  );
};
