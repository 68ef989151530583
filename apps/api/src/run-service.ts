import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Config } from "./config.ts";
import { repositoryFolder } from "./database/files.ts";
import { prepareDatabase } from "./database/prepare-database.ts";
import { loadOrCreateSecrets } from "./database/secrets.ts";
import { loadDemo, type DemoSummary } from "./demo/load-demo.ts";
import { startServer } from "./server.ts";

/** A service that answers. */
export interface RunningService {
  /** Lets requests under way finish, then stops the database if it is ours. */
  readonly stop: () => Promise<void>;
}

const portsToTry = 20;

const isPortTaken = (error: unknown): boolean =>
  error instanceof Error && "code" in error && error.code === "EADDRINUSE";

const onFreePort = async <T>(first: number, start: (port: number) => Promise<T>): Promise<T> => {
  for (let port = first; ; port += 1) {
    try {
      // The next port is tried only after this one turned out to be taken.
      // oxlint-disable-next-line no-await-in-loop
      return await start(port);
    } catch (error) {
      if (!isPortTaken(error) || port - first + 1 >= portsToTry) throw error;
      console.log(`Port ${port} is in use by another program; trying ${port + 1}.`);
    }
  }
};

const demoFile = (dataDir: string): string => join(dataDir, "demo.json");

const readDemoSummary = (dataDir: string): DemoSummary | undefined => {
  try {
    return JSON.parse(readFileSync(demoFile(dataDir), "utf8")) as DemoSummary;
  } catch {
    return undefined; // no demo here, or an unreadable note of it: nothing depends on it
  }
};

const isLoopback = (host: string): boolean =>
  host === "localhost" || host === "::1" || host.startsWith("127.");

const describe = (
  url: string,
  places: readonly (readonly [string, string])[],
  demo: DemoSummary | undefined,
  isPublic: boolean,
): string => {
  const lines = [`Heelward is ready:  ${url}`, `API reference:      ${url}/docs`, ""];
  if (demo !== undefined) {
    lines.push(`Demo sign-ins (${demo.practiceName}, invented):`);
    for (const person of demo.signIns) {
      lines.push(`  ${person.role.padEnd(18)}${person.email.padEnd(46)}${person.password}`);
    }
    if (isPublic) {
      lines.push(
        "",
        "Caution: these passwords are public and this address is open to the network.",
      );
    }
    lines.push("");
  }
  for (const [name, place] of places) lines.push(`${`${name}:`.padEnd(20)}${place}`);
  lines.push("", "Ctrl-C stops it; the data is kept.");
  return lines.join("\n");
};

/** Brings database and server up and says where everything is. */
export const runService = async (config: Config): Promise<RunningService> => {
  mkdirSync(config.dataDir, { recursive: true });
  const secrets = loadOrCreateSecrets(config.dataDir);
  const database = await prepareDatabase({
    dataDir: config.dataDir,
    secrets,
    ...(config.databaseUrl === undefined ? {} : { databaseUrl: config.databaseUrl }),
    ...(config.appDatabaseUrl === undefined ? {} : { appDatabaseUrl: config.appDatabaseUrl }),
    ...(config.loadsDemo
      ? {
          fill: async (urls) => {
            console.log("Loading the demo practice …");
            const summary = await loadDemo({
              ...urls,
              dataDir: config.dataDir,
              nowMs: Date.now(),
            });
            writeFileSync(demoFile(config.dataDir), JSON.stringify(summary, null, 2));
          },
        }
      : {}),
    log: (message) => console.log(message),
  });
  try {
    const server = await onFreePort(config.port, async (port) =>
      startServer({
        host: config.host,
        port,
        ownerUrl: database.ownerUrl,
        appUrl: database.appUrl,
        listenUrl: database.listenUrl,
        isPooled: database.isPooled,
        dataDir: config.dataDir,
        secrets,
        webDist: join(repositoryFolder, "apps", "web", "dist"),
        logLevel: config.logLevel,
        isSecure: config.isSecure,
        ...(config.metricsToken === undefined ? {} : { metricsToken: config.metricsToken }),
        ...(config.s3 === undefined ? {} : { s3: config.s3 }),
        ...(config.smtp === undefined ? {} : { smtp: config.smtp }),
        ...(config.publicUrl === undefined ? {} : { publicUrl: config.publicUrl }),
        ...(config.driveTimesUrl === undefined ? {} : { driveTimesUrl: config.driveTimesUrl }),
      }),
    );
    console.log(
      describe(
        server.url,
        [
          ["Data", config.dataDir],
          ["Database", database.place],
        ],
        readDemoSummary(config.dataDir),
        !isLoopback(config.host),
      ),
    );
    return {
      stop: async () => {
        await server.close();
        await database.stop();
      },
    };
  } catch (error) {
    await database.stop();
    throw error;
  }
};
