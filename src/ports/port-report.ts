/**
 * What a port tells: counts, changes of state (each once), and lines, with the user's listener kept at arm's
 * length. A listener that throws stops only itself; it is counted, and logged once a minute.
 */
import { createSplitter, type LineSplitter } from "./line-splitter.ts";
import type { PortEvents, PortLog, PortSettings, PortStats } from "./port.ts";

const COMPLAIN_EVERY_MS = 60_000;

/** Text of anything thrown, on one line. */
export function messageOf(error: unknown): string {
  const text = error instanceof Error ? error.message : String(error);
  return text.replace(/\s+/g, " ").trim() || "unknown error";
}

/** One port's running account; the kinds write into `stats` themselves what only they know. */
export class PortReport {
  readonly stats: PortStats = {
    state: "opening",
    lines: 0,
    overrunBytes: 0,
    sent: 0,
    dropped: 0,
    replaced: 0,
    gaps: 0,
    clients: 0,
    joined: 0,
    reconnects: 0,
    listenerErrors: 0,
    lastError: undefined,
    address: undefined,
  };
  readonly #name: string;
  readonly #events: PortEvents;
  readonly #log: PortLog;
  readonly #lastSaidAtMs = new Map<string, number>();
  #silenced = false;
  #lost = false;

  constructor(settings: PortSettings, events: PortEvents, log: PortLog) {
    this.#name = settings.name;
    this.#events = events;
    this.#log = log;
  }

  /** A splitter (one a peer) whose lines and overruns go into this account. */
  splitter(): LineSplitter {
    const inner = createSplitter((text) => this.#line(text));
    const counted =
      <A extends readonly unknown[]>(step: (...args: A) => void) =>
      (...args: A): void => {
        const before = inner.stats.overrunBytes;
        step(...args);
        this.stats.overrunBytes += inner.stats.overrunBytes - before;
      };
    return {
      stats: inner.stats,
      push: counted(inner.push),
      flush: counted(inner.flush),
      discard: counted(inner.discard),
    };
  }

  up(why: string): void {
    if (this.stats.state === "up") return;
    this.stats.state = "up";
    if (this.#lost) this.stats.reconnects += 1;
    this.#log.info({ port: this.#name, why }, "port up");
    this.#tell(() => this.#events.state(true, why));
  }

  down(why: string): void {
    this.stats.lastError = why;
    if (this.stats.state === "down") {
      this.#log.debug({ port: this.#name, why }, "port still down");
      return;
    }
    this.#lost = this.#lost || this.stats.state === "up";
    this.stats.state = "down";
    this.#log.warn({ port: this.#name, why }, "port down");
    this.#tell(() => this.#events.state(false, why));
  }

  /** Something worth knowing that does not take the port down; the same text is logged once a minute at most. */
  complain(text: string, why: string): void {
    this.stats.lastError = why;
    const nowMs = performance.now();
    const lastMs = this.#lastSaidAtMs.get(text);
    if (lastMs !== undefined && nowMs - lastMs < COMPLAIN_EVERY_MS) return;
    this.#lastSaidAtMs.set(text, nowMs);
    this.#log.warn({ port: this.#name, why }, text);
  }

  /** The port is closed: its user hears no more of it. */
  silence(): void {
    this.#silenced = true;
    this.stats.state = "down";
  }

  #line(text: string): void {
    this.stats.lines += 1;
    this.#tell(() => this.#events.line(text));
  }

  #tell(call: () => void): void {
    if (this.#silenced) return;
    try {
      call();
    } catch (error) {
      this.stats.listenerErrors += 1;
      this.complain("port listener failed", messageOf(error));
    }
  }
}
