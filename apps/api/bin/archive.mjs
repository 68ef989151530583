// `npm run backup|restore|prove -- <file.zip>`: makes what is missing, then runs the command.
import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { build, checkNode, nodeProgram, root } from "./build.mjs";

checkNode();
build();
const { status } = spawnSync(
  nodeProgram(),
  [join(root, "apps", "api", "dist", "commands", "run.js"), ...process.argv.slice(2)],
  { stdio: "inherit" },
);
process.exit(status ?? 1);
