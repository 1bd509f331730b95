import { mkdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { hostname } from "node:os";
import { dirname } from "node:path";
import type { InjectOptions } from "fastify";
import { afterEach, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { type BuiltPage, buildPage } from "../../src/page/server.ts";
import { createFolder, createStage, type Folder, type Stage, settingsIn, silentLog } from "./stage.ts";

const HOST = "127.0.0.1:8010";
const ORIGIN = "http://127.0.0.1:8010";

let folder: Folder;
let stage: Stage;
let page: BuiltPage;
/** One first start for all tests: scrypt is slow on purpose. */
let first: { pin: string; keys: string; cookie: Record<string, string> };

beforeAll(async () => {
  folder = createFolder();
  page = await buildPage(settingsIn(folder), createStage().deps, silentLog);
  const pin = page.firstPin ?? "";
  const answer = await post("/api/session", { pin });
  const cookie = String(answer.headers["set-cookie"]).split(";")[0] ?? "";
  await page.close();
  first = { pin, keys: readFileSync(settingsIn(folder).pinFile, "utf8"), cookie: { cookie } };
  folder.remove();
});

beforeEach(async () => {
  folder = createFolder();
  stage = createStage();
  const { pinFile } = settingsIn(folder);
  mkdirSync(dirname(pinFile));
  writeFileSync(pinFile, first.keys, { mode: 0o600 });
  page = await buildPage(settingsIn(folder), stage.deps, silentLog);
});
afterEach(async () => {
  await page.close();
  folder.remove();
});

function get(url: string, headers: Record<string, string> = {}) {
  return page.app.inject({ method: "GET", url, headers: { host: HOST, ...headers } });
}

function post(url: string, payload?: InjectOptions["payload"], headers: Record<string, string> = {}) {
  return page.app.inject({
    method: "POST",
    url,
    headers: { host: HOST, origin: ORIGIN, ...headers },
    ...(payload === undefined ? {} : { payload }),
  });
}

function wrongPin(): string {
  return first.pin === "123456" ? "654321" : "123456";
}

describe("looking is open", () => {
  test("the state, as it is, and not to be kept", async () => {
    const answer = await get("/api/state");
    expect(answer.statusCode).toBe(200);
    expect(answer.json()).toEqual(stage.state);
    expect(answer.headers["cache-control"]).toBe("no-store");
  });

  test("the track, from an instant on", async () => {
    stage.track = { ...stage.track, atMs: [1000], rangeMaxM: [null] };
    const asked: number[] = [];
    const { track } = stage.deps;
    stage.deps.track = (sinceMs) => {
      asked.push(sinceMs);
      return track(sinceMs);
    };
    expect((await get("/api/track")).json()).toEqual(stage.track);
    expect((await get("/api/track?since=1750000000000")).statusCode).toBe(200);
    expect(asked).toEqual([0, 1_750_000_000_000]);
    expect((await get("/api/track?since=x")).statusCode).toBe(400);
  });

  test("health and metrics", async () => {
    expect((await get("/healthz")).json()).toEqual({ ok: true, why: "on watch" });
    stage.isHealthy = false;
    const sick = await get("/healthz");
    expect(sick.statusCode).toBe(503);
    expect(sick.json()).toEqual({ ok: false, why: "no position since 01:02" });
    const metrics = await get("/metrics");
    expect(metrics.headers["content-type"]).toContain("version=0.0.4");
    expect(metrics.body).toBe(stage.deps.metrics());
  });

  test("the page, with nothing inline and nothing from elsewhere", async () => {
    const answer = await get("/");
    expect(answer.headers["content-type"]).toBe("text/html; charset=utf-8");
    expect(answer.body).not.toMatch(/<style|style=|<script(?![^>]*\ssrc=)|\son\w+=/);
    const links = [...answer.body.matchAll(/(?:src|href)="([^"]*)"/g)].map((match) => match[1]);
    expect(links.length).toBeGreaterThan(3);
    for (const link of links)
      expect(link).toMatch(/^\/(nights|page\/client\/[a-z-]+\.(js|css|svg|webmanifest))$/);
    const policy = String(answer.headers["content-security-policy"]);
    expect(policy).toContain("default-src 'none'; script-src 'self'; style-src 'self'");
    expect(policy).toContain("frame-ancestors 'none'");
    expect(policy).toContain(`connect-src 'self' ws://${HOST}`);
    expect(policy).not.toContain("unsafe");
    expect(answer.headers["x-content-type-options"]).toBe("nosniff");
    expect((await get("/page/client/style.css")).headers["content-type"]).toContain("text/css");
  });

  test.each(["/page/client/main.ts", "/page/client/tsconfig.json", "/page/client/../server.ts", "/x", "/ws"])(
    "nothing under %s",
    async (url) => {
      const answer = await get(url);
      expect(answer.statusCode).toBe(404);
      expect(answer.json()).toMatchObject({ reason: "path" });
      expect(answer.headers["content-security-policy"]).toBeDefined();
    },
  );

  test("a path that is no path is refused in the same form", async () => {
    expect((await get("/%zz")).json()).toMatchObject({ reason: "path" });
  });

  test("a failure inside is told to nobody outside", async () => {
    stage.deps.state = () => {
      throw new Error("secret detail");
    };
    const answer = await get("/api/state");
    expect(answer.statusCode).toBe(500);
    expect(answer.json()).toMatchObject({ reason: "internal" });
    expect(answer.body).not.toContain("secret");
  });
});

describe("by name and by origin", () => {
  test("a foreign name is refused everywhere (DNS rebinding)", async () => {
    for (const url of ["/", "/api/state", "/metrics", "/healthz", "/nothing"]) {
      const answer = await get(url, { host: "evil.example" });
      expect(answer.statusCode).toBe(403);
      expect(answer.json()).toMatchObject({ reason: "host" });
    }
    expect((await get("/api/state", { host: `${hostname()}:8010` })).statusCode).toBe(200);
  });

  test.each([{ origin: "http://evil.example" }, { origin: "null" }, { origin: "http://127.0.0.1:8011" }])(
    "an act from %j is refused, paired or not",
    async (headers) => {
      const cookie = first.cookie;
      for (const url of ["/api/session", "/api/act", "/api/alerts/shoal/silence"]) {
        const answer = await post(url, { verb: "UNDO" }, { ...cookie, ...headers });
        expect(answer.statusCode).toBe(403);
        expect(answer.json()).toMatchObject({ reason: "origin" });
      }
      expect(stage.bodies).toEqual([]);
      expect(stage.commands).toEqual([]);
    },
  );

  test("an act without any origin is refused", async () => {
    const cookie = first.cookie;
    const answer = await page.app.inject({
      method: "POST",
      url: "/api/act",
      headers: { host: HOST, ...cookie },
      payload: { verb: "UNDO" },
    });
    expect(answer.statusCode).toBe(403);
    expect(stage.bodies).toEqual([]);
  });
});

describe("the PIN session", () => {
  test("the right PIN gives a cookie that scripts and other sites cannot use", async () => {
    const answer = await post("/api/session", { pin: first.pin });
    expect(String(answer.headers["set-cookie"])).toMatch(
      /^rodeward_session=[\w-]{43}; Path=\/; Max-Age=7776000; HttpOnly; SameSite=Strict$/,
    );
  });

  test("whether this phone is paired can be asked", async () => {
    expect((await get("/api/session")).json()).toEqual({ paired: false, units: "metric" });
    expect((await get("/api/session", first.cookie)).json()).toEqual({ paired: true, units: "metric" });
    expect((await get("/api/session", { cookie: "rodeward_session=x" })).json()).toMatchObject({
      paired: false,
    });
  });

  test.each([
    {},
    { pin: 123456 },
    { pin: "12345" },
    { pin: "1234567" },
    { pin: "12345a" },
    { pin: "123456", more: 1 },
    [],
    "123456",
  ])("%j is no PIN, and no try", async (body) => {
    for (let i = 0; i < 7; i++) {
      const answer = await post("/api/session", JSON.stringify(body), { "content-type": "application/json" });
      expect(answer.statusCode).toBe(400);
      expect(answer.json()).toMatchObject({ reason: "format" });
    }
    expect((await post("/api/session", { pin: first.pin })).statusCode).toBe(200);
  });

  test("five wrong ones, then a wait that even the right one must keep", async () => {
    for (let i = 0; i < 5; i++) {
      const answer = await post("/api/session", { pin: wrongPin() });
      expect(answer.statusCode).toBe(401);
      expect(answer.json()).toMatchObject({ reason: "pin" });
      expect(answer.headers["set-cookie"]).toBeUndefined();
    }
    const sixth = await post("/api/session", { pin: first.pin });
    expect(sixth.statusCode).toBe(429);
    expect(sixth.json()).toMatchObject({ reason: "tries" });
    expect(sixth.headers["retry-after"]).toBe("30");
    stage.atMs += 30_000;
    expect((await post("/api/session", { pin: first.pin })).statusCode).toBe(200);
  });

  test("a right one forgives those before it", async () => {
    for (let i = 0; i < 4; i++) await post("/api/session", { pin: wrongPin() });
    expect((await post("/api/session", { pin: first.pin })).statusCode).toBe(200);
    for (let i = 0; i < 5; i++)
      expect((await post("/api/session", { pin: wrongPin() })).statusCode).toBe(401);
  });

  test("a restart keeps the phone paired, and the file private", async () => {
    const cookie = first.cookie;
    await page.close();
    page = await buildPage(settingsIn(folder), stage.deps, silentLog);
    expect(page.firstPin).toBeUndefined();
    expect((await post("/api/act", { verb: "UNDO" }, cookie)).statusCode).toBe(200);
    expect(statSync(settingsIn(folder).pinFile).mode & 0o777).toBe(0o600);
  });

  test("after 90 days it is over", async () => {
    const cookie = first.cookie;
    stage.atMs += 90 * 86_400_000;
    expect((await post("/api/act", { verb: "UNDO" }, cookie)).statusCode).toBe(401);
  });
});

describe("acts", () => {
  test("need a session, and an unpaired one is asked before its body is looked at", async () => {
    for (const url of ["/api/act", "/api/alerts/shoal/silence", "/api/alerts/shoal/acknowledge"]) {
      const answer = await post(url, "{", { "content-type": "application/json" });
      expect(answer.statusCode).toBe(401);
      expect(answer.json()).toMatchObject({ reason: "session" });
    }
    expect(stage.bodies).toEqual([]);
    expect(stage.commands).toEqual([]);
  });

  test("reach the core as a sentence", async () => {
    const answer = await post("/api/act", { verb: "RODE", length: "35 m" }, first.cookie);
    expect(answer.json()).toEqual({ ok: true });
    expect(stage.bodies).toEqual(["PRDW,RODE,35.0,M"]);
  });

  test.each(["phase", "range", "port", "far", "rode"] as const)("%s is a 409", async (reason) => {
    stage.nextAct = { ok: false, reason };
    const answer = await post("/api/act", { verb: "BROUGHTUP" }, first.cookie);
    expect(answer.statusCode).toBe(409);
    expect(answer.json()).toEqual({ error: expect.any(String), reason });
  });

  test("what the core cannot read is a 400", async () => {
    stage.nextAct = { ok: false, reason: "format" };
    expect((await post("/api/act", { verb: "UNDO" }, first.cookie)).statusCode).toBe(400);
  });

  const json = { "content-type": "application/json" };
  test.each([
    ["malformed", "{", json],
    ["empty", "", json],
    ["missing", undefined, {}],
    ["no object", "7", json],
    ["poisoned", '{"verb":"UNDO","__proto__":{"a":1}}', json],
    ["unknown", '{"verb":"SINK"}', json],
    ["not for the page", '{"verb":"FACT","key":"a","on":"1"}', json],
    ["a setting", '{"verb":"SET","key":"a","value":"1"}', json],
    ["no unit", '{"verb":"RODE","length":"35"}', json],
    ["not JSON", '{"verb":"UNDO"}', { "content-type": "text/plain" }],
    ["a form", "verb=UNDO", { "content-type": "application/x-www-form-urlencoded" }],
    ["over 4 kB", '{"verb":"UNDO"}'.padEnd(4100), json],
  ])("a body that is %s is a 400", async (_, body, headers) => {
    const answer = await post("/api/act", body, { ...first.cookie, ...headers });
    expect(answer.statusCode).toBe(400);
    expect(answer.json()).toEqual({ error: expect.any(String), reason: "format" });
    expect(stage.bodies).toEqual([]);
  });

  test("acknowledging and silencing, by key", async () => {
    const cookie = first.cookie;
    expect((await post("/api/alerts/dragging/acknowledge", undefined, cookie)).json()).toEqual({ ok: true });
    await post("/api/alerts/scope-short/silence", "", { ...cookie, ...json });
    expect(stage.commands).toEqual(["acknowledge dragging", "silence scope-short"]);
    stage.nextCommand = { ok: false, reason: "unknown" };
    const unknown = await post("/api/alerts/nothing/silence", undefined, cookie);
    expect(unknown.statusCode).toBe(404);
    expect(unknown.json()).toMatchObject({ reason: "unknown" });
    stage.nextCommand = { ok: false, reason: "refused" };
    const refused = await post("/api/alerts/port-down/silence", undefined, cookie);
    expect(refused.statusCode).toBe(409);
    expect(refused.json()).toMatchObject({ reason: "refused" });
    expect((await post("/api/alerts/dragging/forget", undefined, cookie)).statusCode).toBe(404);
  });
});
