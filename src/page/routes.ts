/** Every path that the page answers. */
import type { FastifyInstance, FastifyRequest } from "fastify";
import { z } from "zod";
import { SECOND_MS } from "../units/time.ts";
import { readAct } from "./act.ts";
import type { Asset } from "./assets.ts";
import type { Audience } from "./audience.ts";
import { sessionCookie, tokenIn } from "./cookie.ts";
import { addNights, type Guard } from "./nights.ts";
import type { AlertCommand, PageDeps, PageLog, PageUnits } from "./page.ts";
import type { Pairing } from "./pairing.ts";
import { refuse } from "./refusals.ts";
import { addSettings } from "./settings.ts";

export interface RouteNeeds {
  deps: PageDeps;
  log: PageLog;
  pairing: Pairing;
  audience: Audience;
  assets: ReadonlyMap<string, Asset>;
  units: PageUnits;
}

export function addRoutes(app: FastifyInstance, needs: RouteNeeds): void {
  addAssets(app, needs.assets);
  addLooking(app, needs);
  if (needs.deps.nights !== undefined) addNights(app, needs.deps.nights, onlyPaired(needs.pairing));
  if (needs.deps.settings !== undefined)
    addSettings(app, needs.deps.settings, onlyPaired(needs.pairing), needs.log);
  addPairing(app, needs);
  addActing(app, needs);
}

function addAssets(app: FastifyInstance, assets: ReadonlyMap<string, Asset>): void {
  for (const [path, { type, body, zipped }] of assets)
    app.get(path, (request, reply) => {
      const takesZipped = /\bgzip\b/.test(request.headers["accept-encoding"] ?? "");
      if (takesZipped) reply.header("content-encoding", "gzip");
      // The worker lies beside the other files, and serves the whole page.
      return reply
        .headers({ "cache-control": "no-cache", vary: "accept-encoding", "service-worker-allowed": "/" })
        .type(type)
        .send(takesZipped ? zipped : body);
    });
}

const trackQuery = z.strictObject({ since: z.coerce.number().optional() });

function addLooking(app: FastifyInstance, { deps, audience }: RouteNeeds): void {
  app.get("/api/state", () => deps.state());
  app.get("/api/track", (request, reply) => {
    const asked = trackQuery.safeParse(request.query);
    if (!asked.success) return refuse(reply, "format", "since is an instant, ms of UTC");
    return reply.send(deps.track(asked.data.since ?? 0));
  });
  app.get("/healthz", (_, reply) => {
    const health = deps.healthy();
    return reply.code(health.ok ? 200 : 503).send(health);
  });
  app.get("/metrics", (_, reply) =>
    reply.type("text/plain; version=0.0.4; charset=utf-8").send(deps.metrics()),
  );
  app.route({
    method: "GET",
    url: "/ws",
    onRequest: (_, reply, done) => {
      if (audience.isFull()) refuse(reply, "full");
      else done();
    },
    handler: (_, reply) => refuse(reply, "path"),
    wsHandler: (socket) => audience.join(socket),
  });
}

const pinBody = z.strictObject({ pin: z.string().regex(/^\d{6}$/) });

function addPairing(app: FastifyInstance, { deps, pairing, log, units }: RouteNeeds): void {
  app.get("/api/session", (request) => ({
    paired: isPaired(request, pairing),
    units: deps.settings?.units() ?? units,
  }));
  app.post("/api/session", async (request, reply) => {
    const given = pinBody.safeParse(request.body);
    if (!given.success) return refuse(reply, "format", 'a PIN is asked for: { "pin": "6 digits" }');
    const answer = await pairing.pair(given.data.pin, request.ip);
    if (answer.kind === "wait")
      return refuse(reply.header("retry-after", Math.ceil(answer.waitMs / SECOND_MS)), "tries");
    if (answer.kind === "wrong") {
      log.warn({ from: request.ip }, "a wrong PIN was given");
      return refuse(reply, "pin");
    }
    log.info({ from: request.ip }, "a device was paired");
    return reply.header("set-cookie", sessionCookie(answer.token)).send({ ok: true });
  });
}

function isPaired(request: FastifyRequest, pairing: Pairing): boolean {
  return pairing.isPaired(tokenIn(request.headers.cookie));
}

function onlyPaired(pairing: Pairing): Guard {
  return (request, reply, done) => {
    if (isPaired(request, pairing)) done();
    else refuse(reply, "session");
  };
}

function addActing(app: FastifyInstance, { deps, log, pairing, audience }: RouteNeeds): void {
  const onRequest = onlyPaired(pairing);
  app.post("/api/act", { onRequest }, (request, reply) => {
    const act = readAct(request.body);
    if (!act.ok) return refuse(reply, "format", act.problem);
    const answer = deps.act(act.body);
    log.info({ from: request.ip, verb: act.verb, answer }, "act from the page");
    if (!answer.ok) return refuse(reply, answer.reason);
    audience.push();
    return reply.send({ ok: true });
  });
  for (const command of ["acknowledge", "silence"] as const satisfies readonly AlertCommand[])
    app.post<{ Params: { key: string } }>(`/api/alerts/:key/${command}`, { onRequest }, (request, reply) => {
      const { key } = request.params;
      const answer = deps.command(key, command);
      log.info({ from: request.ip, key, command, answer }, "alert answered from the page");
      if (!answer.ok) return refuse(reply, answer.reason);
      audience.push();
      return reply.send({ ok: true });
    });
}
