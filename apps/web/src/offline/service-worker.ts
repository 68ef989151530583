/// <reference lib="webworker" />
import { matchPrecache, precacheAndRoute } from "workbox-precaching";
import { isKept, keepAnswer, keptResponse, TAKE_ALONG } from "./kept-answers.ts";
import { canKeep, findKey } from "./vault.ts";

/**
 * Opens the dashboard without signal. The program itself lies in the precache; what the service
 * answered lies sealed in the day taken along and is read from there only when the service does not
 * answer. Writes are not the worker's business: the page keeps them.
 */
declare const self: ServiceWorkerGlobalScope & {
  readonly __WB_MANIFEST: Parameters<typeof precacheAndRoute>[0];
};

const API = "/api/v1/";
/** Open lines and answers that must never be old. */
const NEVER_KEPT = ["/api/v1/events", "/api/v1/session/refresh"];
/** How long a weak signal is waited for while a stored answer is at hand. House rule. */
const PATIENCE_MS = 2_500;
/** After the service did not answer, stored answers are given at once for so long. House rule. */
const NO_SIGNAL_MS = 20_000;

let noSignalUntilMs = 0;

const tell = async (message: { readonly kind: "from device" | "from service" }): Promise<void> => {
  for (const client of await self.clients.matchAll({ type: "window" })) client.postMessage(message);
};

const refreshKept = async (address: string, response: Response): Promise<void> => {
  if (!response.ok || !(await isKept(address))) return;
  const mediaType = response.headers.get("content-type") ?? "application/octet-stream";
  await keepAnswer(address, await response.arrayBuffer(), mediaType);
};

const fromService = async (request: Request, address: string): Promise<Response> => {
  const response = await fetch(request);
  if (noSignalUntilMs > 0) void tell({ kind: "from service" });
  noSignalUntilMs = 0;
  // A full device must not spoil an answer that has come.
  void refreshKept(address, response.clone()).catch(() => undefined);
  return response;
};

const after = (ms: number): Promise<undefined> =>
  new Promise((resolve) => {
    setTimeout(() => resolve(undefined), ms);
  });

/** The service's answer; the stored one when the service cannot be reached or takes too long. */
const answer = async (request: Request, address: string): Promise<Response> => {
  const hasStored = canKeep() && (await findKey("day")) !== undefined && (await isKept(address));
  if (!hasStored) return fetch(request);
  const asked = fromService(request, address);
  // When the stored answer is given instead, nobody waits for this one any more.
  asked.catch(() => undefined);
  const patience = Date.now() < noSignalUntilMs ? 0 : PATIENCE_MS;
  const fresh = await Promise.race([asked.catch(() => undefined), after(patience)]);
  if (fresh !== undefined) return fresh;
  const stored = await keptResponse(address);
  if (stored === undefined) return asked;
  noSignalUntilMs = Date.now() + NO_SIGNAL_MS;
  void tell({ kind: "from device" });
  return stored;
};

/** The newest page when there is signal, the stored one otherwise. */
const page = async (request: Request): Promise<Response> => {
  const shell = () => matchPrecache("/index.html");
  const fresh = await Promise.race([
    fetch(request).catch(() => undefined),
    after(Date.now() < noSignalUntilMs ? 0 : PATIENCE_MS),
  ]);
  return fresh ?? (await shell()) ?? fetch(request);
};

const isPage = (request: Request, { pathname }: URL): boolean =>
  request.mode === "navigate" && !/^\/(api|docs|healthz|readyz)(\/|$)/.test(pathname);

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== self.location.origin) return;
  if (isPage(event.request, url)) {
    event.respondWith(page(event.request));
    return;
  }
  if (event.request.headers.has(TAKE_ALONG)) return;
  if (!url.pathname.startsWith(API) || NEVER_KEPT.some((one) => url.pathname.startsWith(one)))
    return;
  event.respondWith(answer(event.request, url.pathname + url.search));
});
// The page has just reached the service: stored answers are old from now on.
self.addEventListener("message", ({ data }: ExtendableMessageEvent) => {
  if (typeof data === "object" && data !== null && "kind" in data && data.kind === "reached")
    noSignalUntilMs = 0;
});
// The first visit is already served by the worker, so that the day can be taken along at once.
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
precacheAndRoute(self.__WB_MANIFEST);
