import { existsSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { parse } from "yaml";
import { z } from "zod";
import { readConfig } from "../../apps/api/src/config.ts";
import { root, textOf } from "./repository.ts";

// The part of the Compose specification that the file uses; unknown keys are errors, so that a
// misspelt one is noticed. source: Compose specification, compose-spec.json.
const service = z.strictObject({
  image: z.string().optional(),
  build: z.strictObject({ context: z.string(), dockerfile: z.string() }).optional(),
  profiles: z.array(z.string()).optional(),
  restart: z.enum(["no", "always", "on-failure", "unless-stopped"]),
  depends_on: z
    .record(z.string(), z.strictObject({ condition: z.literal("service_healthy") }))
    .optional(),
  environment: z.record(z.string(), z.string()).optional(),
  ports: z.array(z.string().regex(/^127\.0\.0\.1:\d+:\d+$/u, "on this host only")).optional(),
  volumes: z.array(z.string().regex(/^[a-z]+:\/[\w/]+$/u)).optional(),
  healthcheck: z
    .strictObject({
      test: z.array(z.string()),
      interval: z.string().regex(/^\d+s$/u),
      timeout: z.string().regex(/^\d+s$/u),
      retries: z.int().positive(),
    })
    .optional(),
  read_only: z.boolean().optional(),
  tmpfs: z.array(z.string()).optional(),
  cap_drop: z.array(z.string()).optional(),
  security_opt: z.array(z.string()).optional(),
  stop_grace_period: z
    .string()
    .regex(/^\d+s$/u)
    .optional(),
});
const composeFile = z.strictObject({
  name: z.string(),
  services: z.record(z.string(), service),
  volumes: z.record(z.string(), z.null()),
});

// Variables with a default or with a demand, as the Compose specification writes them.
const interpolate = (text: string, env: Readonly<Record<string, string>>): string =>
  text.replaceAll(
    /\$\{(\w+)(?::([-?])([^}]*))?\}/gu,
    (_all, name: string, kind?: string, rest?: string) => {
      const value = env[name];
      if (value !== undefined) return value;
      if (kind === "-") return rest ?? "";
      throw new Error(`${name}: ${rest ?? "not set"}`);
    },
  );

const read = (env: Readonly<Record<string, string>>) =>
  composeFile.parse(parse(interpolate(textOf("docker-compose.yml"), env)));

describe("docker-compose.yml", () => {
  const compose = read({ POSTGRES_PASSWORD: "pw" });

  it("describes a database, an object store and the api", () => {
    expect(Object.keys(compose.services)).toEqual(["database", "objects", "api"]);
  });

  it("has no password of its own, because everyone would know it", () => {
    expect(() => read({})).toThrow("POSTGRES_PASSWORD");
  });

  it("names only services and volumes that it declares", () => {
    for (const each of Object.values(compose.services)) {
      for (const mount of each.volumes ?? []) {
        expect(Object.keys(compose.volumes)).toContain(mount.split(":")[0]);
      }
      for (const name of Object.keys(each.depends_on ?? {})) {
        expect(compose.services[name]?.healthcheck).toBeDefined();
      }
    }
  });

  it("gives the api an environment it understands: outside database, no demo, kept data", () => {
    const environment = compose.services["api"]?.environment ?? {};
    expect(readConfig(environment)).toEqual({
      host: "0.0.0.0",
      port: 3080,
      dataDir: "/data",
      databaseUrl: "postgresql://postgres:pw@database:5432/heelward",
      loadsDemo: false,
      logLevel: "info",
      isSecure: true,
    });
    const understood = textOf("apps/api/src/config.ts");
    for (const name of Object.keys(environment)) expect(understood).toContain(`${name}:`);
  });

  it("builds from a file that is there", () => {
    expect(existsSync(join(root, compose.services["api"]?.build?.dockerfile ?? "-"))).toBe(true);
  });
});

describe("apps/api/Dockerfile", () => {
  const instructions = textOf("apps/api/Dockerfile")
    .replaceAll("\\\n", " ")
    .split("\n")
    .filter((line) => line !== "" && !line.startsWith("#"))
    .map((line) => /^([A-Z]+)\s+(.+)$/u.exec(line)?.slice(1) ?? ["?", line]);
  const all = (keyword: string): readonly string[] =>
    instructions.filter(([name]) => name === keyword).map(([, rest]) => rest ?? "");

  it("consists of instructions that exist", () => {
    const known = [
      "FROM",
      "WORKDIR",
      "COPY",
      "RUN",
      "ENV",
      "USER",
      "VOLUME",
      "EXPOSE",
      "HEALTHCHECK",
      "CMD",
    ];
    expect(instructions.filter(([name]) => !known.includes(name ?? ""))).toEqual([]);
  });

  it("copies only what exists and what .dockerignore lets through", () => {
    const letThrough = textOf(".dockerignore")
      .split("\n")
      .filter((line) => line.startsWith("!"))
      .map((line) => line.slice(1));
    const sources = all("COPY")
      .filter((line) => !line.startsWith("--from"))
      .flatMap((line) => line.split(/\s+/u).slice(0, -1))
      .map((path) => path.replace(/^\.\//u, ""));
    expect(sources.length).toBeGreaterThan(5);
    expect(sources.filter((source) => !existsSync(join(root, source)))).toEqual([]);
    expect(sources.filter((source) => !letThrough.includes(source))).toEqual([]);
  });

  it("does not run as root, so that a hole in the service is not a hole in the host", () => {
    expect(all("USER")).toEqual(["node"]);
  });

  it("starts the compiled process directly, so that a stop signal reaches it", () => {
    expect(JSON.parse(all("CMD")[0] ?? "")).toEqual([
      "node",
      "--enable-source-maps",
      "apps/api/dist/main.js",
    ]);
  });
});
