/**
 * The daemon: wires the edges round the core in one straight line, starts and stops in-process. It is the only
 * file that knows every edge. Alarms go out before anything is shown or stored.
 */
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { openAnnouncing } from "./aboard/announcing.ts";
import { createAboardClock, startTime } from "./aboard/clock.ts";
import { backAgain } from "./aboard/death-note.ts";
import { createDrawer } from "./aboard/drawing.ts";
import { noting, openForwarding } from "./aboard/forwards.ts";
import { createGreeter } from "./aboard/greeter.ts";
import { createHeldCore } from "./aboard/held-core.ts";
import { openHooks } from "./aboard/hooks.ts";
import { isolated } from "./aboard/isolated.ts";
import { createKeeper } from "./aboard/keeper.ts";
import { takeLock } from "./aboard/lock.ts";
import { metricsOf } from "./aboard/metrics.ts";
import { openMqtt } from "./aboard/mqtt.ts";
import { nightsForPage, openNights } from "./aboard/nights.ts";
import { type Outlet, openOutlet } from "./aboard/outlet.ts";
import { pageActs } from "./aboard/page-acts.ts";
import { pageSettings } from "./aboard/page-settings.ts";
import { createReceiverKeeper, teachReceivers } from "./aboard/receivers.ts";
import { createReserve } from "./aboard/reserve.ts";
import { retried } from "./aboard/retried.ts";
import { sendAll } from "./aboard/sender.ts";
import { portSettings } from "./aboard/settings.ts";
import { openSettingsFile } from "./aboard/settings-file.ts";
import { isCardTrouble, openShell, shellFile } from "./aboard/shell.ts";
import { stateOf } from "./aboard/state-of.ts";
import { createTrack } from "./aboard/track.ts";
import { canBeHeard } from "./aboard/unheard.ts";
import type { Config } from "./config/schema.ts";
import { coreSettings } from "./config/settings.ts";
import type { Advance, Core, Input } from "./core.ts";
import { peekTag } from "./nmea/frame.ts";
import { seal } from "./nmea/seal.ts";
import { decode } from "./nmea/table.ts";
import { PageError } from "./page/page.ts";
import { openPage } from "./page/server.ts";
import { trackDownPorts } from "./ports/port-fact.ts";
import { createSecondHand } from "./ports/second-hand.ts";

export interface DaemonLog {
  debug(fields: object, text: string): void;
  info(fields: object, text: string): void;
  warn(fields: object, text: string): void;
  error(fields: object, text: string): void;
}

export interface Daemon {
  /** Undefined while the page could not be served: the watch goes on without, and it is tried again. */
  readonly pageUrl: string | undefined;
  /** The PIN in clear, when this start has made it. */
  readonly firstPin: string | undefined;
  /** Where a port is really bound. */
  address(port: string): string | undefined;
  core(): Core;
  /** Are seconds walked, and has every line been handled to its end? */
  health(): { ok: boolean; why: string };
  stop(): Promise<void>;
}

export interface DaemonOptions {
  config: Config;
  stateDirectory: string;
  log: DaemonLog;
  /** Told after the alarms are out; for the rehearsal's narration. */
  watch?: (advanced: Advance) => void;
  /** Where the page's compiled client lies; left out, beside this code. */
  clientRoot?: string;
  /** Where the configuration was read: told on the page. */
  configFile?: string;
}

const TICK_MS = 200;

/**
 * Starts everything. A port or a page that cannot be opened is said and tried again: the rest keeps the watch.
 * Rejects with one clear line when there can be no watch (another daemon, no state directory); then nothing is
 * left running.
 */
export async function startDaemon(options: DaemonOptions): Promise<Daemon> {
  const { stateDirectory, log } = options;
  const cleanUps: { name: string; run: () => Promise<void> | void }[] = [];
  const stop = async (): Promise<void> => {
    for (let last = cleanUps.pop(); last !== undefined; last = cleanUps.pop()) {
      try {
        await last.run();
      } catch (error) {
        log.error({ err: error, name: last.name }, "could not be stopped");
      }
    }
  };
  try {
    mkdirSync(stateDirectory, { recursive: true, mode: 0o750 });
    const lock = takeLock(join(stateDirectory, "daemon.lock"), (why) => log.warn({ why }, "no lock taken"));
    cleanUps.push({ name: "lock", run: () => lock?.release() });
    const tuned = openSettingsFile(join(stateDirectory, "settings.json"), options.config, log);
    cleanUps.push({ name: "settings", run: () => tuned.settled() });
    const { config } = tuned;
    const stateFile = join(stateDirectory, "watch.json");
    const settings = coreSettings(config, { utc: "learn", ignoreOperator: false });
    const held = createHeldCore({
      settings,
      file: stateFile,
      nowMs: () => clock.nowMs(),
      begun: (core) => teachReceivers(core, nights),
      log,
    });
    const outlets: Outlet[] = [];
    const listeners: ((advanced: Advance) => void)[] = [];
    const unsent = isolated("sending", log, (error: unknown) => {
      throw error;
    });

    const reserve = createReserve(outlets);
    const told = (advanced: Advance): Advance => {
      sendAll(advanced.out, outlets, unsent, reserve.isHeldBack);
      reserve.take(advanced.core);
      for (const listener of listeners) listener(advanced);
      return advanced;
    };
    const take = (input: Input): Advance => told(held.take(input));
    let unfinished = 0;
    const takeLine = (text: string, port: string, atMs: number): Advance => {
      unfinished++;
      const advanced = take({ kind: "line", text, port, atMs });
      // Not reached after a throw, whoever caught it: what the core then is, nobody knows.
      unfinished--;
      return advanced;
    };
    const health = () => healthOf(held.shown(), clock.nowMs(), unfinished);
    const fact = (text: string): void => {
      const advanced = held.fact(text);
      if (advanced !== undefined) told(advanced);
    };

    const keeper = createKeeper(stateFile, fact, log);
    cleanUps.push({ name: "state file", run: () => keeper.close(held.begun()) });
    listeners.push(isolated("keeper", log, (advanced) => keeper.take(advanced)));
    listeners.push(isolated("settings", log, ({ core }) => tuned.take(core)));
    if (options.watch !== undefined) listeners.push(isolated("watcher", log, options.watch));

    const shell = await openShell(shellFile(stateDirectory), (text) =>
      answerTo(takeLine(text, "shell", clock.nowMs())),
    ).catch((error: unknown) => {
      // A card turned read-only, and a restart: a watch that takes no acts from the shell is better than none.
      if (!isCardTrouble(error)) throw error;
      log.error({ err: error }, "no acts from the shell: its socket cannot be made");
      return undefined;
    });
    cleanUps.push({ name: "shell", run: () => shell?.close() });

    const nights = openNights({
      directory: stateDirectory,
      config,
      configNow: tuned.now,
      fact,
      log,
      nowMs: () => performance.now(),
    });
    cleanUps.push({ name: "night log", run: () => nights.close() });
    listeners.push(isolated("night log", log, (advanced) => nights.take(advanced)));
    const receivers = createReceiverKeeper(nights);
    listeners.push(isolated("receivers", log, (advanced) => receivers.take(advanced)));

    const byTag = config.port.some((port) => port.clock === "tag");
    const clock = createAboardClock(startTime(Date.now(), held.load()), byTag);
    if (!byTag) held.beginAt(clock.nowMs());

    const trackDown = trackDownPorts(fact);
    const greeter = createGreeter(outlets, held.begun, reserve.isHeldBack);
    const secondHand = createSecondHand();
    const forwarding = openForwarding(config.port, outlets, (to, from, closed) => {
      if (closed)
        log.warn({ to, from }, "a ring: what goes out on the one comes back on the other; not passed on");
      trackDown(`${to} ring`, !closed, `comes back on ${from}`);
    });
    for (const port of config.port) {
      const own = portSettings(port);
      const byOwnTag = port.clock === "tag";
      const line = (text: string): void => {
        const heardMs = performance.now();
        if (forwarding.isEcho(text, own.name, heardMs)) return;
        // Only among ports that may give orders: a copy on another must not keep the true one out.
        if (settings.ports[own.name]?.operator === true && secondHand.isSecondHand(text, own.name, heardMs))
          return;
        const stampMs = byOwnTag ? peekTag(text)?.atMs : undefined;
        if (stampMs !== undefined && clock.heard(stampMs)) held.beginAt(stampMs);
        takeLine(text, own.name, stampMs ?? clock.nowMs());
        forwarding.pass(text, own.name, heardMs);
      };
      const state = (up: boolean, why: string): void => {
        trackDown(own.name, up, why);
        if (up) greeter.cameUp(own.name);
      };
      const opened = await openOutlet(own, { line, state }, { log, random: Math.random });
      const outlet = noting(opened, (text) => forwarding.sent(text, own.name, performance.now()));
      outlets.push(outlet);
      cleanUps.push({ name: `port ${own.name}`, run: () => outlet.port.close() });
    }
    const announcing = await openAnnouncing(config, log);
    cleanUps.push({ name: "announcement", run: () => announcing.close() });
    const named = () =>
      outlets.map(({ port }) => ({ name: port.name, kind: port.kind, stats: port.stats() }));

    const draw = createDrawer(settings.watch);
    const track = createTrack();
    listeners.push(isolated("track", log, (advanced) => track.take(advanced)));

    const kept = nightsForPage(stateDirectory);
    cleanUps.push({ name: "rerun", run: () => kept.close() });
    const acts = pageActs((text) => takeLine(text, "page", clock.nowMs()));
    const page = await retried({
      open: () =>
        openPage(
          {
            listen: config.page.listen,
            units: config.page.units,
            pinFile: join(stateDirectory, "pin.json"),
            ...(options.clientRoot === undefined ? {} : { clientRoot: options.clientRoot }),
          },
          {
            ...acts,
            settings: pageSettings({ filed: options.config, ...tuned, ...acts, file: options.configFile }),
            state: () => stateOf(held.shown(), named(), draw(held.shown())),
            track: (sinceMs) => track.answer(sinceMs),
            nights: kept,
            metrics: () => metricsOf(held.shown(), named(), forwarding.counts()),
            healthy: health,
            nowMs: Date.now,
          },
          log,
        ),
      mayPass: (error): error is PageError => error instanceof PageError,
      failed: (why) => log.error({ why }, "no page; the watch goes on without it, and it is tried again"),
      opened: ({ url, firstPin: pin }) => log.info({ url, pin }, "page served"),
    });
    cleanUps.push({ name: "page", run: () => page.close() });
    listeners.push(
      isolated("page", log, ({ seconds, changes }) => {
        if (seconds.length + changes.length > 0) page.now()?.push();
      }),
    );

    const mqtt = await openMqtt({ config, state: (up, why) => trackDown("MQTT broker", up, why) });
    cleanUps.push({ name: "mqtt", run: () => mqtt.close() });
    listeners.push(isolated("mqtt", log, (advanced) => mqtt.take(advanced)));

    const hooks = openHooks({ hooks: config.hook, fact, log, first: backAgain(stateDirectory, log) });
    cleanUps.push({ name: "hooks", run: () => hooks.close() });
    listeners.push(isolated("hooks", log, (advanced) => hooks.take(advanced)));

    let unheard: boolean | undefined;
    const judgeHearing = (): void => {
      const now = !canBeHeard(outlets, hooks.couldSound() || page.now()?.hears() === true);
      if (now !== unheard) fact(seal(`PRDW,FACT,unheard,${now ? "1,No display or sounder connected" : "0"}`));
      unheard = now;
    };
    judgeHearing();
    const tick = setInterval(() => {
      if (clock.ticks()) take({ kind: "tick", atMs: clock.nowMs() });
      judgeHearing();
      greeter.look();
    }, TICK_MS);
    cleanUps.push({ name: "ticks", run: () => clearInterval(tick) });
    return {
      get pageUrl() {
        return page.now()?.url;
      },
      get firstPin() {
        return page.now()?.firstPin;
      },
      address: (name) => outlets.find((one) => one.settings.name === name)?.port.stats().address,
      core: held.shown,
      health,
      stop,
    };
  } catch (error) {
    await stop();
    throw error;
  }
}

/** The answer to an act, as text. The core says nothing of a fact that it has taken. */
function answerTo({ out, input }: Advance): string {
  const answer = out.find((one) => one.sentence.id === "PRDW")?.sentence;
  const order = answer?.id === "PRDW" ? answer.content?.order : undefined;
  if (order?.verb === "ACK") return seal(`PRDW,ACK,${order.answered ?? ""}`);
  if (order?.verb === "NAK") return seal(`PRDW,NAK,${order.answered ?? ""},${order.reason ?? ""}`);
  return input.kind === "line" && isFact(input.text) ? seal("PRDW,ACK,FACT") : seal("PRDW,NAK,,format");
}

function isFact(text: string): boolean {
  const pieces = decode(text, { checksum: "required" }).pieces;
  return pieces.some(
    (piece) =>
      piece.kind === "sentence" &&
      piece.sentence.id === "PRDW" &&
      piece.sentence.content?.order?.verb === "FACT",
  );
}

const STALLED_MS = 5000;

function healthOf(core: Core, nowMs: number, unfinished: number): { ok: boolean; why: string } {
  if (unfinished > 0) return { ok: false, why: `${unfinished} lines were not handled to their end` };
  const behindMs = nowMs - core.atMs;
  return behindMs > STALLED_MS
    ? { ok: false, why: `${Math.round(behindMs / 1000)} s behind` }
    : { ok: true, why: "seconds are walked" };
}
