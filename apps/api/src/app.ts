import cookie from "@fastify/cookie";
import helmet from "@fastify/helmet";
import jwt from "@fastify/jwt";
import multipart from "@fastify/multipart";
import rateLimit from "@fastify/rate-limit";
import Fastify, {
  type FastifyBaseLogger,
  type FastifyInstance,
  type FastifyReply,
  type FastifyRequest,
} from "fastify";
import { pino, type DestinationStream, type LoggerOptions } from "pino";
import type { BlobStore } from "./blobs/blob-store.ts";
import type { Database } from "./database/client.ts";
import { Problem } from "./http/problem.ts";
import { tokenKeys, type TokenSecrets } from "./http/token-keys.ts";
import { installSharedSheetPage } from "./features/firstaid/routes.ts";
import { registerFeatures } from "./features/index.ts";
import type { DriveTimesProvider } from "./features/routes/drive-times.ts";
import { traceContext } from "./http/trace-context.ts";
import { UPLOAD_LIMIT_BYTES } from "./http/upload.ts";
import type { MailRoom } from "./mail/outbox.ts";
import { installLiveEvents } from "./plugins/live-events.ts";
import { installMetrics } from "./plugins/metrics.ts";
import { installOpenApi } from "./plugins/openapi.ts";
import { installProblems, unknownAddress } from "./plugins/problem-details.ts";
import { installDashboard } from "./plugins/dashboard.ts";
import type { Signer } from "./records/signer.ts";

/** Everything the service needs from outside. Tests give their own. */
export interface Dependencies {
  readonly db: Database;
  /** Connection URL for listening to changes; without it there are no live events. */
  readonly listenUrl?: string;
  readonly blobs: BlobStore;
  readonly signer: Signer;
  readonly secrets: TokenSecrets;
  /** Epoch ms. */
  readonly now: () => number;
  /** What letters need; without it none is written. */
  readonly mail?: MailRoom;
  /** A road server; without it drive times are estimated. */
  readonly roads?: DriveTimesProvider;
  /** Folder of the built dashboard; without it only the API is served. */
  readonly webDist?: string;
  readonly logLevel?: string;
  /** Where log lines go; the standard output when left out. */
  readonly logTo?: DestinationStream;
  /** Bearer token for reading metrics; without it only this machine may. */
  readonly metricsToken?: string;
  /** True behind HTTPS: cookies are then marked Secure. */
  readonly isSecure?: boolean;
  /** Requests per minute and address before 429. */
  readonly requestsPerMinute?: number;
  /** Attempts to sign in per minute and address before 429. */
  readonly signInsPerMinute?: number;
}

const API_PREFIX = "/api/v1";
/** Films and voice notes from the own pages; nothing else of the device, and nothing for frames. */
const PERMISSIONS =
  "camera=(self), microphone=(self), publickey-credentials-get=(self), publickey-credentials-create=(self), geolocation=(), payment=(), usb=(), browsing-topics=()";

/** Ids only: no names, addresses, tokens or medicines reach a log. */
const logOf = (level: string, to: DestinationStream | undefined): FastifyBaseLogger => {
  const options: LoggerOptions = {
    level,
    serializers: {
      req: (request: FastifyRequest) => ({
        method: request.method,
        route: request.routeOptions.url ?? "",
      }),
      res: (reply: FastifyReply) => ({ statusCode: reply.statusCode }),
      // An error of the driver carries its whole connection, with the number that cancels its work.
      err: (error: Error) => ({ ...pino.stdSerializers.err(error), client: undefined }),
    },
  };
  return to === undefined ? pino(options) : pino(options, to);
};

/** The whole service on one screen. */
export const buildApp = async (dependencies: Dependencies): Promise<FastifyInstance> => {
  const app = Fastify({
    loggerInstance: logOf(dependencies.logLevel ?? "silent", dependencies.logTo),
    childLoggerFactory: (logger, bindings, options, raw) =>
      logger.child({ ...bindings, ...traceContext(raw.headers["traceparent"]) }, options),
    bodyLimit: 1_048_576,
    genReqId: () => crypto.randomUUID(),
    routerOptions: { maxParamLength: 200 },
  });
  installProblems(app);
  installMetrics(app, dependencies.metricsToken);
  // What a person can read out to whoever looks into the log.
  app.addHook("onRequest", async (request, reply) => {
    void reply.header("x-request-id", request.id);
    void reply.header("permissions-policy", PERMISSIONS);
  });
  await app.register(helmet, {
    contentSecurityPolicy: {
      directives: {
        defaultSrc: ["'self'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'"],
        imgSrc: ["'self'", "data:", "blob:"],
        mediaSrc: ["'self'", "blob:"],
        fontSrc: ["'self'"],
        connectSrc: ["'self'"],
        workerSrc: ["'self'", "blob:"],
        frameAncestors: ["'none'"],
        objectSrc: ["'none'"],
        baseUri: ["'none'"],
        formAction: ["'self'"],
        upgradeInsecureRequests: null,
      },
    },
    // Two years, as browsers' own lists ask for.
    strictTransportSecurity:
      dependencies.isSecure === true
        ? { maxAge: 63_072_000, includeSubDomains: true, preload: false }
        : false,
  });
  await app.register(cookie);
  const keys = tokenKeys(dependencies.secrets);
  await app.register(jwt, {
    secret: { private: keys.privatePem, public: keys.publicFor },
    decode: { complete: true },
    sign: { algorithm: "EdDSA", iss: "heelward", aud: "heelward", kid: keys.currentId },
    verify: {
      algorithms: ["EdDSA"],
      ignoreExpiration: true,
      allowedIss: "heelward",
      allowedAud: "heelward",
    },
    cookie: { cookieName: "heelward_access", signed: false },
  });
  await app.register(rateLimit, {
    global: true,
    max: dependencies.requestsPerMinute ?? 1200,
    timeWindow: 60_000,
  });
  await app.register(multipart, {
    limits: { fileSize: UPLOAD_LIMIT_BYTES, files: 1, fields: 20, fieldSize: 20_000, parts: 22 },
  });
  installOpenApi(app);
  await app.register(
    (api, _options, done) => {
      registerFeatures(api, dependencies);
      done();
    },
    { prefix: API_PREFIX },
  );
  installLiveEvents(app, dependencies);
  installSharedSheetPage(app, dependencies);
  app.get("/healthz", { config: { rateLimit: false } }, () => ({ status: "alive" }));
  app.get("/readyz", { config: { rateLimit: false } }, async (request) => {
    try {
      await dependencies.db.$queryRaw`SELECT 1`;
    } catch (error) {
      request.log.warn({ err: error }, "not ready");
      throw new Problem("dependency-unavailable", "The database does not answer.", {
        retryAfterSeconds: 5,
      });
    }
    return { status: "ready" };
  });
  if (dependencies.webDist !== undefined) await installDashboard(app, dependencies.webDist);
  else
    app.setNotFoundHandler((request) => {
      throw unknownAddress(request.url);
    });
  return app;
};
