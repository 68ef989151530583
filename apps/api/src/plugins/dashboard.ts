import fastifyStatic from "@fastify/static";
import type { FastifyInstance } from "fastify";
import { unknownAddress } from "./problem-details.ts";

/** Serves the built dashboard; every address that is not the API's gets its page. */
export const installDashboard = async (app: FastifyInstance, folder: string): Promise<void> => {
  await app.register(fastifyStatic, {
    root: folder,
    wildcard: false,
    // The build lays a packed copy beside each text.
    preCompressed: true,
    index: ["index.html"],
    cacheControl: false,
    setHeaders: (reply, path) => {
      const isHashed = /\/assets\//.test(path);
      void reply.header(
        "cache-control",
        isHashed ? "public, max-age=31536000, immutable" : "no-cache",
      );
    },
  });
  app.setNotFoundHandler((request, reply) => {
    if (
      request.method !== "GET" ||
      request.url.startsWith("/api/") ||
      request.url.startsWith("/docs")
    )
      throw unknownAddress(request.url);
    return reply.header("cache-control", "no-cache").sendFile("index.html");
  });
};
