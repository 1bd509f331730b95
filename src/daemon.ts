/**
 * The daemon: wires the edges round the core in one straight line, starts and stops in-process. It is the only
 * file that knows every edge. Alarms go out before anything is shown or stored.
 */
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { createAboardClock } from "./aboard/clock.ts";
import { isolated } from "./aboard/isolated.ts";
import { createKeeper } from "./aboard/keeper.ts";
import { metricsOf } from "./aboard/metrics.ts";
import { pageActs } from "./aboard/page-acts.ts";
import { type Outlet, sendAll, sendPresent } from "./aboard/sender.ts";
import { portSettings } from "./aboard/settings.ts";
import { openShell } from "./aboard/shell.ts";
import { loadState } from "./aboard/state-file.ts";
import { stateOf } from "./aboard/state-of.ts";
import { canBeHeard } from "./aboard/unheard.ts";
import type { Config } from "./config/schema.ts";
import { coreSettings } from "./config/settings.ts";
import { type Advance, advance, begin, type Core, type Input, resume } from "./core.ts";
import { peekTag } from "./nmea/frame.ts";
import { seal } from "./nmea/seal.ts";
import { openPage } from "./page/server.ts";
import { openPort } from "./ports/kinds.ts";
import { trackDownPorts } from "./ports/port-fact.ts";

export interface DaemonLog {
  debug(fields: object, text: string): void;
  info(fields: object, text: string): void;
  warn(fields: object, text: string): void;
  error(fields: object, text: string): void;
}

export interface Daemon {
  readonly pageUrl: string;
  /** The PIN in clear, when this start has made it. */
  readonly firstPin: string | undefined;
  /** Where a port is really bound. */
  address(port: string): string | undefined;
  core(): Core;
  stop(): Promise<void>;
}

export interface DaemonOptions {
  config: Config;
  stateDirectory: string;
  log: DaemonLog;
  /** Told after the alarms are out; for the rehearsal's narration. */
  watch?: (advanced: Advance) => void;
}

const TICK_MS = 200;

/** Starts everything. Rejects with one clear line when it cannot; then nothing is left running. */
export async function startDaemon(options: DaemonOptions): Promise<Daemon> {
  const { config, stateDirectory, log } = options;
  const cleanUps: { name: string; run: () => Promise<void> | void }[] = [];
  const stop = async (): Promise<void> => {
    for (let last = cleanUps.pop(); last !== undefined; last = cleanUps.pop()) {
      const { name, run } = last;
      await Promise.resolve(run()).catch((error: unknown) =>
        log.error({ error, name }, "could not be stopped"),
      );
    }
  };
  try {
    mkdirSync(stateDirectory, { recursive: true });
    const settings = coreSettings(config, { utc: "learn", ignoreOperator: false });
    const { saved, setAside } = loadState(join(stateDirectory, "watch.json"));
    if (setAside !== undefined)
      log.error({ setAside }, "the state file was damaged and is set aside: no watch is resumed");
    const byTag = config.port.some((port) => port.clock === "tag");
    const clock = createAboardClock(Math.max(Date.now(), saved?.atMs ?? 0), byTag);
    let core = saved === undefined || byTag ? undefined : resume(saved, settings, clock.nowMs());
    if (core !== undefined) log.info({ phase: core.watch.stay.phase }, "watch resumed");
    const outlets: Outlet[] = [];
    const listeners: ((advanced: Advance) => void)[] = [];

    const take = (input: Input): Advance => {
      core ??= begin(settings, input.atMs);
      const advanced = advance(core, input, settings);
      core = advanced.core;
      sendAll(advanced.out, outlets);
      for (const listener of listeners) listener(advanced);
      return advanced;
    };
    const takeLine = (text: string, port: string, atMs: number): Advance =>
      take({ kind: "line", text, port, atMs });
    const edge = (text: string): void => void takeLine(text, "edge", clock.nowMs());
    const current = (): Core => (core ??= begin(settings, clock.nowMs()));

    const keeper = createKeeper(join(stateDirectory, "watch.json"), edge, log);
    cleanUps.push({ name: "state file", run: () => keeper.close(current()) });
    listeners.push(isolated("keeper", log, (advanced) => keeper.take(advanced)));
    if (options.watch !== undefined) listeners.push(isolated("watcher", log, options.watch));

    const trackDown = trackDownPorts(edge);
    for (const port of config.port) {
      const own = portSettings(port);
      const byOwnTag = port.clock === "tag";
      const line = (text: string): void => {
        const stampMs = byOwnTag ? peekTag(text)?.atMs : undefined;
        if (stampMs !== undefined) clock.heard(stampMs);
        takeLine(text, own.name, stampMs ?? clock.nowMs());
      };
      const state = (up: boolean, why: string): void => {
        log[up ? "info" : "warn"]({ port: own.name, why }, up ? "port up" : "port down");
        trackDown(own.name, up, why);
        const outlet = outlets.find((one) => one.settings.name === own.name);
        if (up && outlet !== undefined && core !== undefined) sendPresent(core, outlet);
      };
      const opened = await openPort(own, { line, state }, { log, random: Math.random });
      outlets.push({ settings: own, port: opened });
      cleanUps.push({ name: `port ${own.name}`, run: () => opened.close() });
    }
    const named = () =>
      outlets.map(({ port }) => ({ name: port.name, kind: port.kind, stats: port.stats() }));

    const shell = await openShell(join(stateDirectory, "act.sock"), (text) =>
      answerTo(takeLine(text, "shell", clock.nowMs())),
    );
    cleanUps.push({ name: "shell", run: () => shell.close() });

    const page = await openPage(
      { listen: config.page.listen, units: config.page.units, pinFile: join(stateDirectory, "pin.json") },
      {
        ...pageActs((text) => takeLine(text, "page", clock.nowMs())),
        state: () => stateOf(current(), named()),
        metrics: () => metricsOf(current(), named()),
        healthy: () => healthOf(current(), clock.nowMs()),
        nowMs: Date.now,
      },
      log,
    );
    cleanUps.push({ name: "page", run: () => page.close() });
    listeners.push(
      isolated(
        "page",
        log,
        (advanced) => advanced.seconds.length + advanced.changes.length > 0 && page.push(),
      ),
    );

    let unheard: boolean | undefined;
    const tick = setInterval(() => {
      if (clock.ticks()) take({ kind: "tick", atMs: clock.nowMs() });
      const now = !canBeHeard(outlets);
      if (core !== undefined && now !== unheard)
        edge(seal(`PRDW,FACT,unheard,${now ? "1,No display or sounder connected" : "0"}`));
      if (core !== undefined) unheard = now;
    }, TICK_MS);
    cleanUps.push({ name: "ticks", run: () => clearInterval(tick) });
    return {
      pageUrl: page.url,
      firstPin: page.firstPin,
      address: (name) => outlets.find((one) => one.settings.name === name)?.port.stats().address,
      core: current,
      stop,
    };
  } catch (error) {
    await stop();
    throw error;
  }
}

/** The answer to an act, as text; acts that say nothing (facts) answer nothing. */
function answerTo(advanced: Advance): string {
  const answer = advanced.out.find((one) => one.sentence.id === "PRDW")?.sentence;
  const order = answer?.id === "PRDW" ? answer.content?.order : undefined;
  if (order?.verb === "ACK") return seal(`PRDW,ACK,${order.answered ?? ""}`);
  if (order?.verb === "NAK") return seal(`PRDW,NAK,${order.answered ?? ""},${order.reason ?? ""}`);
  return seal("PRDW,NAK,,format");
}

const STALLED_MS = 5000;

function healthOf(core: Core, nowMs: number): { ok: boolean; why: string } {
  const behindMs = nowMs - core.atMs;
  return behindMs > STALLED_MS
    ? { ok: false, why: `${Math.round(behindMs / 1000)} s behind` }
    : { ok: true, why: "seconds are walked" };
}
