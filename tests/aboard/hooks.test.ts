import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { afterEach, expect, test } from "vitest";
import { type Hooks, openHooks } from "../../src/aboard/hooks.ts";
import { command, NO_ALERTS, review } from "../../src/alerts/life-cycle.ts";
import type { HookConfig } from "../../src/config/hook-schema.ts";
import { coreSettings } from "../../src/config/settings.ts";
import { begin, type Core, type CoreSettings } from "../../src/core.ts";
import type { Finding } from "../../src/watch/finding.ts";
import { AT_MS, finding } from "../alerts/alerts-aboard.ts";
import { until } from "../ports/ear.ts";

const settings: CoreSettings = coreSettings(undefined, { utc: "given", ignoreOperator: false });
const cleanUps: (() => unknown)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

const folder = (): string => {
  const made = mkdtempSync(join(tmpdir(), "rodeward-hook-"));
  cleanUps.push(() => rmSync(made, { recursive: true, force: true }));
  return made;
};

/** A program that notes its arguments and what it is told. */
function noting(more = ""): { run: string[]; runs: () => string[]; file: string } {
  const file = join(folder(), "runs");
  const script = `${more}
printf '%s %s %s %s sound=%s [%s]\\n' "$1" "$RODEWARD_KEY" "$RODEWARD_PRIORITY" "$RODEWARD_STATE" "$RODEWARD_SOUND" "$RODEWARD_TEXT" >> "${file}"`;
  const runs = () => (existsSync(file) ? readFileSync(file, "utf8").split("\n").slice(0, -1) : []);
  return { run: ["/bin/sh", "-c", script, "sh", "$(id); `id` 'x'"], runs, file };
}

const hookOf = (over: Partial<HookConfig>): HookConfig => ({
  on: ["alarm"],
  run: ["/bin/true"],
  repeat_every: undefined,
  limit: 5,
  backup: false,
  ...over,
});

/** A core whose alerts are driven by hand, a second at a time. */
function alarmsTo(hook: HookConfig, retryMs?: number) {
  const facts: string[] = [];
  const warned: object[] = [];
  const log = { warn: (fields: object) => void warned.push(fields), info: () => {} };
  const hooks: Hooks = openHooks({
    hooks: [hook],
    fact: (text) => void facts.push(text),
    log,
    ...(retryMs === undefined ? {} : { retryMs }),
  });
  cleanUps.push(() => hooks.close());
  const core: Core = begin(settings, AT_MS);
  let alerts = NO_ALERTS;
  const show = () => hooks.take({ core: { ...core, alerts } });
  return {
    hooks,
    facts,
    warned,
    found(findings: readonly Finding[], seconds = 1) {
      for (let s = 0; s < seconds; s++) {
        core.atMs += 1000;
        alerts = review(alerts, findings, core.atMs).alerts;
        show();
      }
    },
    acknowledge(key: Finding["key"]) {
      alerts = command(alerts, key, "acknowledge", "page", core.atMs)?.alerts ?? alerts;
      show();
    },
  };
}

const DRAG = finding("dragging", "alarm", "MOVED 14 M");

test("it runs on raise, on acknowledging and on clear, told what is so; arguments go as they are, by no shell", async () => {
  const program = noting();
  const { found, acknowledge } = alarmsTo(hookOf({ run: program.run }));
  found([finding("wind-over", "warning")]);
  found([DRAG, finding("wind-over", "warning")], 3);
  await until(() => program.runs().length === 1, "the raise");
  acknowledge("dragging");
  await until(() => program.runs().length === 2, "the acknowledgement");
  found([], 3);
  await until(() => program.runs().length === 3, "the end");
  await sleep(50);
  const argument = "$(id); `id` 'x'";
  expect(program.runs()).toEqual([
    `${argument} dragging alarm unacknowledged sound=1 [MOVED 14 M]`,
    `${argument} dragging alarm acknowledged sound=0 [MOVED 14 M]`,
    `${argument} dragging alarm normal sound=0 [MOVED 14 M]`,
  ]);
});

test("by key or by priority; a rise makes it due, and with two the buzzer goes on until both are seen", async () => {
  const program = noting();
  const { found, acknowledge } = alarmsTo(hookOf({ run: program.run, on: ["wind-over", "alarm"] }));
  found([finding("scope-short", "warning")]);
  found([finding("scope-short", "alarm"), finding("wind-over", "warning")]);
  await until(() => program.runs().length === 2, "both");
  acknowledge("scope-short");
  await until(() => program.runs().length === 3, "the first seen");
  acknowledge("wind-over");
  await until(() => program.runs().length === 4, "the second seen");
  expect(program.runs().map((run) => /(\S+) \S+ (\S+) (sound=.)/.exec(run)?.slice(1).join(" "))).toEqual([
    "scope-short unacknowledged sound=1",
    "wind-over unacknowledged sound=1",
    "scope-short acknowledged sound=1",
    "wind-over acknowledged sound=0",
  ]);
});

test("one run at a time, and while it lasts only the latest of each alert is kept", async () => {
  const program = noting("sleep 0.3");
  const { found, acknowledge } = alarmsTo(hookOf({ run: program.run }));
  found([DRAG]);
  await sleep(50);
  found([DRAG, finding("shoal")]);
  found([DRAG]);
  acknowledge("dragging");
  acknowledge("shoal");
  expect(program.runs()).toEqual([]);
  await until(() => program.runs().length === 3, "the run and the latest of each");
  await sleep(400);
  expect(program.runs().map((run) => run.split(" ").slice(-6, -2).join(" "))).toHaveLength(3);
  expect(program.runs()[0]).toContain("dragging alarm unacknowledged");
  expect(program.runs().slice(1).join()).toContain("dragging alarm acknowledged");
  expect(program.runs().slice(1).join()).toContain("shoal alarm normal");
});

test("what is told last of the sound is how it is then, whatever waited in the meantime", async () => {
  const program = noting("sleep 0.2");
  const { found, acknowledge } = alarmsTo(hookOf({ run: program.run, on: ["warning", "alarm"] }));
  const wind = finding("wind-over", "warning");
  found([DRAG]);
  await sleep(50);
  found([DRAG, wind]);
  acknowledge("wind-over");
  acknowledge("dragging");
  await until(() => program.runs().length === 3, "all told");
  await sleep(300);
  expect(program.runs().at(-1)).toContain("sound=0");
});

test("a program that cannot be spawned fails as any other does", async () => {
  const { found, warned, facts } = alarmsTo(hookOf({ run: ["/bin/sh/under-a-file"] }));
  found([DRAG]);
  await until(() => warned.length > 0, "the failure");
  expect(facts.join()).toContain("Hook under-a-file");
});

test("repeat_every: again as long as it is unacknowledged, and no longer", async () => {
  const program = noting();
  const { found, acknowledge } = alarmsTo(hookOf({ run: program.run, repeat_every: 30 }));
  found([DRAG], 31);
  await until(() => program.runs().length === 2, "the repetition");
  acknowledge("dragging");
  await until(() => program.runs().length === 3, "the acknowledgement");
  found([DRAG], 100);
  await sleep(50);
  expect(program.runs()).toHaveLength(3);
});

test("backup: only for what has stood unacknowledged for a minute, and told when it no longer does", async () => {
  const program = noting();
  const { found, acknowledge } = alarmsTo(hookOf({ run: program.run, backup: true }));
  found([DRAG], 60);
  await sleep(30);
  expect(program.runs()).toEqual([]);
  found([DRAG], 1);
  await until(() => program.runs().length === 1, "a minute");
  acknowledge("dragging");
  await until(() => program.runs().length === 2, "seen");
  expect(program.runs()[1]).toContain("acknowledged sound=0");
});

test.each([
  ["no such program", ["/nowhere/buzzer"], "there is no such program"],
  ["not to be run", ["/etc/passwd"], "it may not be run: permission denied"],
  ["fails and says why", ["/bin/sh", "-c", "echo no relay >&2; exit 3"], "exit code 3: no relay"],
  ["killed", ["/bin/sh", "-c", "kill -9 $$"], "ended by SIGKILL"],
])("a failure is said once: %s", async (_, run, why) => {
  const { found, facts, warned, hooks } = alarmsTo(hookOf({ run }), 20);
  expect(hooks.couldSound()).toBe(true);
  found([DRAG]);
  await until(() => facts.length > 0, "the fact");
  await sleep(80); // tried again meanwhile
  expect(warned).toEqual([{ program: run[0], why }]);
  expect(facts).toHaveLength(1);
  expect(facts[0]).toMatch(/^\$PRDW,FACT,port-down:hook1,1,Hook \w+: /);
  expect(facts[0]?.length).toBeLessThanOrEqual(80);
  expect(hooks.couldSound()).toBe(false);
});

test("what failed while something sounds is tried again, and said when it works", async () => {
  const mended = join(folder(), "mended");
  const run = ["/bin/sh", "-c", `test -e "${mended}"`];
  const { found, facts, hooks } = alarmsTo(hookOf({ run }), 20);
  found([DRAG]);
  await until(() => facts.length === 1, "the failure");
  writeFileSync(mended, "");
  await until(() => facts.length === 2, "the success");
  expect(facts[1]).toMatch(/^\$PRDW,FACT,port-down:hook1,0\*/);
  expect(hooks.couldSound()).toBe(true);
});

test("a run over its limit is ended with all it has started", async () => {
  const file = join(folder(), "late");
  const run = ["/bin/sh", "-c", `(sleep 0.6; echo late > "${file}") & sleep 9`];
  const { found, warned } = alarmsTo(hookOf({ run, limit: 0.2 }), 10_000);
  found([DRAG]);
  await until(() => warned.length === 1, "the limit");
  expect(warned[0]).toMatchObject({ why: "took longer than 0.2 s" });
  await sleep(700);
  expect(existsSync(file)).toBe(false);
});

test("closing ends what runs", async () => {
  const { found, hooks } = alarmsTo(hookOf({ run: ["/bin/sleep", "9"], limit: 20 }));
  found([DRAG]);
  const begun = performance.now();
  await hooks.close();
  expect(performance.now() - begun).toBeLessThan(500);
});

test("the environment of the daemon stays its own", async () => {
  process.env.NOTIFY_SOCKET = "/run/nowhere";
  cleanUps.push(() => delete process.env.NOTIFY_SOCKET);
  const file = join(folder(), "env");
  const { found } = alarmsTo(
    hookOf({ run: ["/bin/sh", "-c", `env > "${file}.part"; mv "${file}.part" "${file}"`] }),
  );
  found([DRAG]);
  await until(() => existsSync(file), "the environment");
  const names = readFileSync(file, "utf8")
    .split("\n")
    .map((line) => line.split("=")[0]);
  expect(names).not.toContain("NOTIFY_SOCKET");
  expect(names).toEqual(expect.arrayContaining(["PATH", "RODEWARD_KEY", "RODEWARD_TITLE", "RODEWARD_SINCE"]));
});
