import { createHash, timingSafeEqual } from "node:crypto";
import type { FastifyInstance, FastifyRequest } from "fastify";
import { collectDefaultMetrics, Counter, Histogram, Registry } from "prom-client";
import { Problem } from "../http/problem.ts";

/** Seconds: from a read off an index to a film that is decoded. */
const BUCKETS = [0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 10];
const UNKNOWN_ROUTE = "(none)";

const isLoopback = (address: string): boolean =>
  address === "127.0.0.1" || address === "::1" || address === "::ffff:127.0.0.1";

const digest = (text: string): Buffer => createHash("sha256").update(text).digest();

/** With a token: whoever knows it. Without: this machine itself, not through a proxy on it. */
const mayRead = (request: FastifyRequest, token: string | undefined): boolean => {
  if (token === undefined)
    return (
      isLoopback(request.socket.remoteAddress ?? "") &&
      request.headers["x-forwarded-for"] === undefined &&
      request.headers.forwarded === undefined
    );
  const given = request.headers.authorization ?? "";
  return timingSafeEqual(digest(given), digest(`Bearer ${token}`));
};

/**
 * `GET /metrics` for Prometheus: requests by route and status, how long they took, sign-ins refused,
 * and the process itself. Routes, never addresses: no id and no name becomes a label.
 */
export const installMetrics = (app: FastifyInstance, token: string | undefined): Registry => {
  const registry = new Registry();
  collectDefaultMetrics({ register: registry });
  const duration = new Histogram({
    name: "heelward_http_request_duration_seconds",
    help: "How long requests took",
    labelNames: ["method", "route", "status"],
    buckets: BUCKETS,
    registers: [registry],
  });
  const refused = new Counter({
    name: "heelward_refused_total",
    help: "Requests refused for who asked (401, 403) or how often (429)",
    labelNames: ["route", "status"],
    registers: [registry],
  });
  app.addHook("onResponse", async (request, reply) => {
    const route = request.routeOptions.url ?? UNKNOWN_ROUTE;
    const status = String(reply.statusCode);
    duration.observe({ method: request.method, route, status }, reply.elapsedTime / 1000);
    if ([401, 403, 429].includes(reply.statusCode)) refused.inc({ route, status });
  });
  app.get("/metrics", async (request, reply) => {
    if (!mayRead(request, token)) throw new Problem("not-found", "There is nothing at /metrics.");
    return reply.type(registry.contentType).send(await registry.metrics());
  });
  return registry;
};
