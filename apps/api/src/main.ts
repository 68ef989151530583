import { readConfig, type Config } from "./config.ts";
import { AlreadyRunning } from "./database/embedded.ts";
import { MigrationRefused } from "./database/migrate.ts";
import { runService, type RunningService } from "./run-service.ts";

// The process itself: whatever listens to signals or ends the process stands here.

// One Ctrl-C arrives up to three times: from the terminal, from npm and from the starter.
const samePressMs = 1000;

let service: RunningService | undefined;
let firstAskedAt: number | undefined;

const stop = (reason: string): void => {
  const now = performance.now();
  if (firstAskedAt !== undefined) {
    if (now - firstAskedAt < samePressMs) return;
    console.log("Stopping at once.");
    process.exit(1);
  }
  firstAskedAt = now;
  if (service === undefined) {
    console.log(`\n${reason} before Heelward was ready.`);
    process.exit(1);
  }
  console.log(`\n${reason}: finishing what is under way. Ctrl-C again stops at once.`);
  service.stop().then(
    () => {
      console.log("Stopped. The data is kept.");
      process.exit(0);
    },
    (error: unknown) => {
      console.error("Stopping did not go well:", error);
      process.exit(1);
    },
  );
};

process.on("SIGINT", () => stop("Stopping"));
process.on("SIGTERM", () => stop("Stopping"));
process.on("SIGHUP", () => stop("The terminal was closed"));
process.on("disconnect", () => stop("The starting process is gone"));

const configured = (): Config => {
  try {
    return readConfig(process.env);
  } catch (error) {
    console.error(error instanceof Error ? error.message : error);
    return process.exit(1);
  }
};

try {
  service = await runService(configured());
} catch (error) {
  const isSelfExplaining = error instanceof AlreadyRunning || error instanceof MigrationRefused;
  console.error(isSelfExplaining ? error.message : error);
  process.exit(1);
}
