/**
 * The page: HTTP and websocket server. In: the picture and the core's answers, through `PageDeps`. Out: the
 * picture to whoever looks, acts and acknowledgements from whoever is paired. It never touches the core itself,
 * and nothing that a client does can keep the daemon waiting.
 */
import { hostname, networkInterfaces } from "node:os";
import fastifyWebsocket from "@fastify/websocket";
import Fastify, { type FastifyInstance, type FastifyReply, type FastifyRequest } from "fastify";
import { type Asset, readAssets } from "./assets.ts";
import { type Audience, createAudience } from "./audience.ts";
import { limitCrowd } from "./crowd.ts";
import { hostIsOurs, hostNames, originIsOurs } from "./gate.ts";
import { type PageDeps, PageError, type PageLog, type PageSettings } from "./page.ts";
import { openPairing, type Pairing } from "./pairing.ts";
import { refuse } from "./refusals.ts";
import { addRoutes } from "./routes.ts";

export interface OpenPage {
  readonly url: string;
  /** The PIN in clear when this start has made it: to be shown once. */
  readonly firstPin: string | undefined;
  /** The picture has changed. */
  push(): void;
  /** Would an alarm be heard on a page that is open and armed? */
  hears(): boolean;
  close(): Promise<void>;
}

/** Everything but the listening, for tests. */
export interface BuiltPage {
  app: FastifyInstance;
  firstPin: string | undefined;
  keepPin(): Promise<void>;
  push(): void;
  hears(): boolean;
  close(): Promise<void>;
}

const BODY_LIMIT_BYTES = 4096;
const REQUEST_TIMEOUT_MS = 10_000;
/** A request that trickles in is cut off: its head after this long, looked for every second. */
const HEAD_TIMEOUT_MS = 5000;
const LOOK_FOR_LATE_MS = 1000;
const MOST_HEARD_BYTES = 1024;

/** Rejects with a PageError when it cannot be served. */
export async function openPage(settings: PageSettings, deps: PageDeps, log: PageLog): Promise<OpenPage> {
  const { app, firstPin, keepPin, push, hears, close } = await buildPage(settings, deps, log);
  const { host, port } = settings.listen;
  try {
    await app.listen({ host, port });
  } catch (error) {
    await close();
    throw new PageError(`cannot listen on ${hostPort(host, port)}: ${explain(error)}`);
  }
  // Only now: a PIN written by a start that failed would never be shown.
  await keepPin();
  return { url: urlOf(app, host), firstPin, push, hears, close };
}

export async function buildPage(settings: PageSettings, deps: PageDeps, log: PageLog): Promise<BuiltPage> {
  const assets = await readAssets(settings.clientRoot).catch((error: unknown) => {
    throw new PageError(`its files cannot be read: ${explain(error)}`);
  });
  if (!assets.has("/page/client/main.js"))
    log.warn({}, "the page's client is not built; it will not come alive");
  const pairing = await openPairing(settings.pinFile, deps.nowMs, log).catch((error: unknown) => {
    throw new PageError(`the PIN file ${settings.pinFile} cannot be read: ${explain(error)}`);
  });
  const audience = createAudience(() => pictureOf(deps, log));
  const app = await createApp(settings, deps, log, { assets, pairing, audience });
  return {
    app,
    firstPin: pairing.firstPin,
    keepPin: () => pairing.keep(),
    push: () => audience.push(),
    hears: () => audience.hears(),
    async close() {
      await audience.close();
      await app.close();
      await pairing.settled();
    },
  };
}

/** A failure here must stay here: it is asked for by a timer, where a throw would end the daemon. */
function pictureOf(deps: PageDeps, log: PageLog): string | undefined {
  try {
    return JSON.stringify(deps.state());
  } catch (error) {
    log.error({ err: error }, "the page has no picture to show");
    return undefined;
  }
}

interface Parts {
  assets: ReadonlyMap<string, Asset>;
  pairing: Pairing;
  audience: Audience;
}

async function createApp(settings: PageSettings, deps: PageDeps, log: PageLog, parts: Parts) {
  const app = Fastify({
    logger: false,
    bodyLimit: BODY_LIMIT_BYTES,
    requestTimeout: REQUEST_TIMEOUT_MS,
    http: { headersTimeout: HEAD_TIMEOUT_MS, connectionsCheckingInterval: LOOK_FOR_LATE_MS },
    forceCloseConnections: true,
    frameworkErrors: (_, __, reply) => {
      refuse((reply as FastifyReply).headers(headersFor(undefined)), "path");
    },
  });
  limitCrowd(app.server);
  await app.register(fastifyWebsocket, {
    options: { maxPayload: MOST_HEARD_BYTES, perMessageDeflate: false },
    errorHandler: (_, socket) => socket.terminate(),
  });
  addGate(app, hostNames(hostname(), settings.allowedHosts ?? []));
  addBodyRule(app);
  app.setNotFoundHandler((_, reply) => refuse(reply, "path"));
  app.setErrorHandler((error, request, reply) => {
    if (isClientFault(error)) return refuse(reply, "format");
    log.error({ err: error, path: request.url }, "the page failed to answer");
    return refuse(reply, "internal");
  });
  addRoutes(app, { deps, log, units: settings.units, ...parts });
  return app;
}

function isClientFault(error: unknown): boolean {
  return error instanceof Error && "statusCode" in error && Number(error.statusCode) < 500;
}

function addGate(app: FastifyInstance, names: ReadonlySet<string>): void {
  app.addHook("onRequest", (request, reply, done) => {
    const { host, origin } = request.headers;
    const known = hostIsOurs(host, names) && isNamedOnce(request.raw.rawHeaders);
    reply.headers(headersFor(known ? host : undefined));
    if (!known) refuse(reply, "host");
    else if (changesOrUpgrades(request) && !originIsOurs(origin, host)) refuse(reply, "origin");
    // An upgrade elsewhere would be accepted first and closed then.
    else if (request.ws && request.routeOptions.url !== "/ws") refuse(reply, "path");
    else done();
  });
}

/** Two Host lines are none (RFC 9112, 3.2). Names and values take turns. */
function isNamedOnce(rawHeaders: readonly string[]): boolean {
  return rawHeaders.filter((text, i) => i % 2 === 0 && text.toLowerCase() === "host").length === 1;
}

function changesOrUpgrades(request: FastifyRequest): boolean {
  return request.ws || (request.method !== "GET" && request.method !== "HEAD");
}

/** Older browsers do not count a websocket as `'self'`, so it is named. */
function headersFor(host: string | undefined): Record<string, string> {
  const sockets = host === undefined ? "" : ` ws://${host} wss://${host}`;
  return {
    "content-security-policy":
      "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; manifest-src 'self'; " +
      "worker-src 'self'; " +
      `connect-src 'self'${sockets}; base-uri 'none'; form-action 'none'; frame-ancestors 'none'`,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
  };
}

/** JSON only, and an empty body is none: acknowledging needs no words. */
function addBodyRule(app: FastifyInstance): void {
  app.removeAllContentTypeParsers();
  const parseJson = app.getDefaultJsonParser("error", "error");
  app.addContentTypeParser("application/json", { parseAs: "string" }, (request, body, done) => {
    if (body === "") done(null, undefined);
    else void parseJson(request, String(body), done);
  });
}

const WHY: Readonly<Record<string, string>> = {
  EADDRINUSE: "it is in use by another program; stop that one, or choose another port",
  EADDRNOTAVAIL: "this machine has no such address; 0.0.0.0 means all it has",
  EACCES: "not permitted",
  ENOTFOUND: "that name is not known",
};

function explain(error: unknown): string {
  if (!(error instanceof Error)) return "it failed";
  const code = "code" in error ? String(error.code) : "";
  return WHY[code] ?? error.message.split("\n", 1)[0] ?? "it failed";
}

function hostPort(host: string, port: number): string {
  return host.includes(":") ? `[${host}]:${port}` : `${host}:${port}`;
}

/** Where to point a browser: bound to all addresses, the one that a phone can reach. */
function urlOf(app: FastifyInstance, host: string): string {
  const bound = app.server.address();
  const port = bound !== null && typeof bound === "object" ? bound.port : 0;
  const all = host === "0.0.0.0" || host === "::";
  return `http://${hostPort(all ? (outsideAddress() ?? "localhost") : host, port)}`;
}

function outsideAddress(): string | undefined {
  const all = Object.values(networkInterfaces()).flatMap((list) => list ?? []);
  return all.find((one) => !one.internal && one.family === "IPv4")?.address;
}
