import { resolve } from "node:path";
import { z } from "zod";
import type { S3Options } from "./blobs/s3-blob-store.ts";
import { repositoryFolder } from "./database/files.ts";

const flag = z.enum(["yes", "no"]);

const environment = z.object({
  PORT: z.coerce.number().int().min(1).max(65535).default(3080),
  HOST: z.string().min(1).default("127.0.0.1"),
  DATABASE_URL: z.url({ protocol: /^postgres(ql)?$/ }).optional(),
  APP_DATABASE_URL: z.url({ protocol: /^postgres(ql)?$/ }).optional(),
  HEELWARD_DATA: z.string().min(1).optional(),
  HEELWARD_DEMO: flag.default("yes"),
  S3_ENDPOINT: z.url().optional(),
  S3_BUCKET: z.string().min(1).optional(),
  S3_REGION: z.string().min(1).default("us-east-1"),
  S3_ACCESS_KEY_ID: z.string().min(1).optional(),
  S3_SECRET_ACCESS_KEY: z.string().min(1).optional(),
  SMTP_URL: z.url({ protocol: /^smtps?$/ }).optional(),
  MAIL_FROM: z.string().min(3).optional(),
  PUBLIC_URL: z.url({ protocol: /^https?$/ }).optional(),
  DRIVE_TIMES_URL: z.url({ protocol: /^https?$/ }).optional(),
  METRICS_TOKEN: z.string().min(16).optional(),
  SECURE_COOKIES: flag.default("no"),
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
  /** Cookies go over HTTPS only, and browsers are told to stay there. */
  readonly isSecure: boolean;
  /** How letters go out; without it they wait in the outbox. */
  readonly smtp?: { readonly url: string; readonly from: string };
  /** Where people reach the dashboard, for links in letters; without a slash at the end. */
  readonly publicUrl?: string;
  /** An OSRM-compatible server for drive times, without a slash at the end. */
  readonly driveTimesUrl?: string;
  /** Bearer token for reading metrics; without it only this machine may. */
  readonly metricsToken?: string;
  /** An S3-compatible store for films and photos; without it they lie in the data folder. */
  readonly s3?: S3Options;
}

/** All four of the store's variables, or none. */
const readS3 = (read: z.output<typeof environment>): S3Options | undefined => {
  const given = {
    endpoint: read.S3_ENDPOINT,
    bucket: read.S3_BUCKET,
    accessKeyId: read.S3_ACCESS_KEY_ID,
    secretAccessKey: read.S3_SECRET_ACCESS_KEY,
  };
  const missing = Object.entries(given).filter(([, value]) => value === undefined);
  if (missing.length === 4) return undefined;
  const { endpoint, bucket, accessKeyId, secretAccessKey } = given;
  if (
    endpoint === undefined ||
    bucket === undefined ||
    accessKeyId === undefined ||
    secretAccessKey === undefined
  )
    throw new Error(
      `The environment does not fit:\n  S3 needs ${missing.map(([name]) => name).join(", ")} as well, or none of its variables`,
    );
  return { endpoint, bucket, accessKeyId, secretAccessKey, region: read.S3_REGION };
};

const readSmtp = (read: z.output<typeof environment>): Config["smtp"] => {
  if ((read.SMTP_URL === undefined) !== (read.MAIL_FROM === undefined))
    throw new Error(
      "The environment does not fit:\n  SMTP_URL and MAIL_FROM go together, or neither is set",
    );
  return read.SMTP_URL === undefined || read.MAIL_FROM === undefined
    ? undefined
    : { url: read.SMTP_URL, from: read.MAIL_FROM };
};

const withoutSlash = (url: string): string => url.replace(/\/+$/u, "");

/** Reads the environment. @throws Error naming every variable that does not fit. */
export const readConfig = (env: Readonly<Record<string, string | undefined>>): Config => {
  const given = Object.fromEntries(Object.entries(env).filter(([, value]) => value !== ""));
  const parsed = environment.safeParse(given);
  if (!parsed.success) {
    const faults = parsed.error.issues.map((issue) => `${issue.path.join(".")}: ${issue.message}`);
    throw new Error(`The environment does not fit:\n  ${faults.join("\n  ")}`);
  }
  const read = parsed.data;
  const s3 = readS3(read);
  const smtp = readSmtp(read);
  return {
    host: read.HOST,
    port: read.PORT,
    dataDir: resolve(read.HEELWARD_DATA ?? `${repositoryFolder}/.data`),
    loadsDemo: read.HEELWARD_DEMO === "yes",
    logLevel: read.LOG_LEVEL,
    isSecure: read.SECURE_COOKIES === "yes",
    ...(smtp === undefined ? {} : { smtp }),
    ...(read.PUBLIC_URL === undefined ? {} : { publicUrl: withoutSlash(read.PUBLIC_URL) }),
    ...(read.DRIVE_TIMES_URL === undefined
      ? {}
      : { driveTimesUrl: withoutSlash(read.DRIVE_TIMES_URL) }),
    ...(s3 === undefined ? {} : { s3 }),
    ...(read.METRICS_TOKEN === undefined ? {} : { metricsToken: read.METRICS_TOKEN }),
    ...(read.DATABASE_URL === undefined ? {} : { databaseUrl: read.DATABASE_URL }),
    ...(read.APP_DATABASE_URL === undefined ? {} : { appDatabaseUrl: read.APP_DATABASE_URL }),
  };
};
