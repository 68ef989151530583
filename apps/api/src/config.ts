import { resolve } from "node:path";
import { z } from "zod";
import { repositoryFolder } from "./database/files.ts";

const flag = z.enum(["yes", "no"]);

const environment = z.object({
  PORT: z.coerce.number().int().min(1).max(65535).default(3080),
  HOST: z.string().min(1).default("127.0.0.1"),
  DATABASE_URL: z.url({ protocol: /^postgres(ql)?$/ }).optional(),
  APP_DATABASE_URL: z.url({ protocol: /^postgres(ql)?$/ }).optional(),
  HEELWARD_DATA: z.string().min(1).optional(),
  HEELWARD_DEMO: flag.default("yes"),
  LOG_LEVEL: z.enum(["fatal", "error", "warn", "info", "debug", "trace", "silent"]).default("warn"),
});

/** What the operator decides, read once. */
export interface Config {
  readonly host: string;
  readonly port: number;
  readonly dataDir: string;
  readonly databaseUrl?: string;
  readonly appDatabaseUrl?: string;
  readonly loadsDemo: boolean;
  readonly logLevel: string;
}

/** Reads the environment. @throws Error naming every variable that does not fit. */
export const readConfig = (env: Readonly<Record<string, string | undefined>>): Config => {
  const given = Object.fromEntries(Object.entries(env).filter(([, value]) => value !== ""));
  const parsed = environment.safeParse(given);
  if (!parsed.success) {
    const faults = parsed.error.issues.map((issue) => `${issue.path.join(".")}: ${issue.message}`);
    throw new Error(`The environment does not fit:\n  ${faults.join("\n  ")}`);
  }
  const read = parsed.data;
  return {
    host: read.HOST,
    port: read.PORT,
    dataDir: resolve(read.HEELWARD_DATA ?? `${repositoryFolder}/.data`),
    loadsDemo: read.HEELWARD_DEMO === "yes",
    logLevel: read.LOG_LEVEL,
    ...(read.DATABASE_URL === undefined ? {} : { databaseUrl: read.DATABASE_URL }),
    ...(read.APP_DATABASE_URL === undefined ? {} : { appDatabaseUrl: read.APP_DATABASE_URL }),
  };
};
