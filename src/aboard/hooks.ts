/**
 * Hooks: programs run when alerts begin, change or end (a buzzer, a relay, a message ashore). In: each advance
 * of the core; out: one run at a time for each hook, of the latest there is to say. A run that fails is tried
 * again, and is said.
 */
import { isUnanswered } from "../alerts/life-cycle.ts";
import { inOrder } from "../alerts/sentences.ts";
import { rowOf } from "../alerts/table.ts";
import type { HookConfig } from "../config/hook-schema.ts";
import type { Advance, Core } from "../core.ts";
import { seal } from "../nmea/seal.ts";
import { formatInstant, SECOND_MS } from "../units/time.ts";
import { type HookRun, runHook } from "./hook-run.ts";

type Alert = Advance["changes"][number];

export interface Hooks {
  take(advanced: Pick<Advance, "core">): void;
  /** Is there one that could sound an alarm, and that worked when it was last run? */
  couldSound(): boolean;
  /** Ends what is running. */
  close(): Promise<void>;
}

interface HookParts {
  hooks: readonly HookConfig[];
  /** Takes a fact line: a hook fails, or works again. */
  fact(text: string): void;
  log: { warn(fields: object, text: string): void; info(fields: object, text: string): void };
  /** What those that could sound an alarm are told before anything else. */
  first?: Readonly<Record<string, string>> | undefined;
  /** Wait before a failed run is tried again; tests shorten it. */
  retryMs?: number;
}

const RETRY_MS = 10 * SECOND_MS;

export function openHooks({ hooks, fact, log, first, retryMs = RETRY_MS }: HookParts): Hooks {
  const all = hooks.map((config, i) => {
    const key = `port-down:hook${i + 1}`;
    const program = config.run[0] ?? "";
    const opening = canSoundAlarm(config) ? first : undefined;
    return createHook({ config, retryMs, opening }, (why) => {
      if (why === undefined) log.info({ program }, "hook works again");
      else log.warn({ program, why }, "hook failed");
      fact(seal(why === undefined ? `PRDW,FACT,${key},0` : `PRDW,FACT,${key},1,${factText(program, why)}`));
    });
  });
  return {
    take({ core }) {
      for (const hook of all) hook.take(core);
    },
    couldSound: () => all.some((hook) => hook.couldSound()),
    async close() {
      await Promise.all(all.map((hook) => hook.close()));
    },
  };
}

/** 43 characters is what an ALF has room for; reserved ones would end the sentence early. */
function factText(program: string, why: string): string {
  const name = program.split("/").at(-1) ?? program;
  return `Hook ${name}: ${why}`
    .replace(/[^\x20-\x7e]|[!$*,\\^~]/g, " ")
    .slice(0, 43)
    .trimEnd();
}

interface Hook {
  take(core: Core): void;
  couldSound(): boolean;
  close(): Promise<void>;
}

interface HookPlan {
  config: HookConfig;
  retryMs: number;
  /** Told before any alert. */
  opening: Readonly<Record<string, string>> | undefined;
}

/** @param failed told at the first failure of a row, and with undefined when it works again */
function createHook({ config, retryMs, opening }: HookPlan, failed: (why: string | undefined) => void): Hook {
  /** What was last given to the program, by alert. */
  const told = new Map<Alert["key"], Alert>();
  /** What it is still to be given: the latest of each alert. */
  const due = new Map<Alert["key"], Alert>();
  /** As it is when a run begins: news of one alert may have waited while another went away or came. */
  let sounding = false;
  let running: HookRun | undefined;
  let retry: NodeJS.Timeout | undefined;
  let failing = false;
  let closed = false;
  let lastRunMs = 0;
  if (opening !== undefined) {
    running = runHook(config.run, opening, config.limit * 1000);
    void running.over.then(() => {
      running = undefined;
      start();
    });
  }

  const start = (): void => {
    const [first] = due;
    if (closed || running !== undefined || retry !== undefined || first === undefined) return;
    const [key, one] = first;
    due.delete(key);
    running = runHook(config.run, environment(one, sounding), config.limit * 1000);
    void running.over.then((why) => over(one, why));
  };
  const over = (one: Alert, why: string | undefined): void => {
    running = undefined;
    if (closed) return;
    if ((why !== undefined) !== failing) failed(why);
    failing = why !== undefined;
    if (failing) {
      // Newer news of the same alert goes before the old; that nothing sounds any more must arrive as well.
      if (!due.has(one.key)) due.set(one.key, one);
      retry = setTimeout(() => {
        retry = undefined;
        start();
      }, retryMs);
    }
    start();
  };

  return {
    take(core) {
      const concerned = inOrder(core.alerts).filter((alert) => isFor(config, alert, core.atMs));
      const unseen = concerned.filter((alert) => alert.status === "unacknowledged");
      sounding = unseen.length > 0;
      const gone = new Map(told);
      for (const alert of concerned) {
        gone.delete(alert.key);
        const before = told.get(alert.key);
        if (before?.status === alert.status && before.priority === alert.priority) continue;
        told.set(alert.key, alert);
        due.set(alert.key, alert);
        lastRunMs = core.atMs;
      }
      for (const [key, last] of gone) {
        told.delete(key);
        // Over; or it goes on, and concerns this hook no longer.
        due.set(key, core.alerts.active[key] ?? { ...last, status: "normal" });
      }
      const [top] = unseen;
      const everyMs = config.repeat_every === undefined ? undefined : config.repeat_every * 1000;
      if (top !== undefined && everyMs !== undefined && core.atMs - lastRunMs >= everyMs) {
        due.set(top.key, top);
        lastRunMs = core.atMs;
      }
      start();
    },
    couldSound: () => !failing && canSoundAlarm(config),
    async close() {
      closed = true;
      clearTimeout(retry);
      running?.end();
      await running?.over;
    },
  };
}

/** Is it for the alarm that always comes? */
export function canSoundAlarm(config: HookConfig): boolean {
  return config.on.some((name) => name === "alarm" || name === "outside-circle");
}

function isFor(config: HookConfig, alert: Alert, atMs: number): boolean {
  if (!config.on.includes(alert.priority) && !config.on.includes(alert.key)) return false;
  return !config.backup || isUnanswered(alert, atMs);
}

function environment(alert: Alert, sounding: boolean): Record<string, string> {
  return {
    RODEWARD_KEY: alert.key,
    RODEWARD_PRIORITY: alert.priority,
    RODEWARD_STATE: alert.status,
    RODEWARD_TITLE: rowOf(alert.key).title,
    RODEWARD_TEXT: alert.text,
    RODEWARD_SINCE: formatInstant(Math.floor(alert.raisedMs)),
    // 1 as long as any alert that this hook is for is unacknowledged: a buzzer needs no more.
    RODEWARD_SOUND: sounding ? "1" : "0",
  };
}
