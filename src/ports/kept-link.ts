/**
 * A link to one peer that is kept up: connect, hand over what comes, and after a loss connect again with
 * back-off. The kinds (serial, tcp-client, udp) supply only `connect`; a failure there is never fatal.
 */
import type { OpenPort, PortDeps, PortEvents, PortKind, PortSettings, PortStats } from "./port.ts";
import { messageOf, PortReport } from "./port-report.ts";
import { createReconnect, type Reconnect } from "./reconnect.ts";

/** What a connected wire tells. After the link was given up, all of these do nothing. */
export interface WireEvents {
  /** Bytes came. They are used up before this returns, so the buffer may be used again. */
  data(chunk: Uint8Array): void;
  /** What came so far was complete (end of a datagram). */
  complete(): void;
  sent(): void;
  /** Lines that their sender counted and that never came. */
  gaps(count: number): void;
  dropped(count: number): void;
  replaced(count: number): void;
  complain(text: string, why: string): void;
  lost(why: string): void;
}

export interface Wire {
  /** For a person: what it is connected to. */
  readonly how: string;
  readonly address: string | undefined;
  /** Takes one sentence without its line end, at once. */
  send(text: string, urgent: boolean, passedOn?: boolean): void;
  /** Never rejects. */
  close(): Promise<void>;
}

/**
 * Makes one connection, or rejects with an Error whose message is for a person. When `signal` aborts, it stops
 * trying and lets go of whatever it holds.
 */
export type Connect = (on: WireEvents, signal: AbortSignal) => Promise<Wire>;

const CLOSE_LIMIT_MS = 150;

export class KeptLink implements OpenPort {
  readonly name: string;
  readonly kind: PortKind;
  readonly #connect: Connect;
  readonly #report: PortReport;
  readonly #reconnect: Reconnect;
  readonly #splitter;
  #attempt: AbortController | undefined;
  #wire: Wire | undefined;
  #closed = false;

  constructor(settings: PortSettings, events: PortEvents, deps: PortDeps, connect: Connect) {
    this.name = settings.name;
    this.kind = settings.kind;
    this.#connect = connect;
    this.#report = new PortReport(settings, events, deps.log);
    this.#reconnect = createReconnect(deps.random);
    this.#splitter = this.#report.splitter();
    this.#try();
  }

  send(text: string, urgent: boolean, passedOn = false): void {
    try {
      if (this.#wire === undefined) this.#report.stats.dropped += 1;
      else this.#wire.send(text, urgent, passedOn);
    } catch (error) {
      this.#report.stats.dropped += 1;
      this.#report.complain("sentence not sent", messageOf(error));
    }
  }

  stats(): PortStats {
    return { ...this.#report.stats };
  }

  async close(): Promise<void> {
    this.#closed = true;
    this.#report.silence();
    this.#reconnect.cancel();
    const wire = this.#letGo();
    if (wire === undefined) return;
    let limit: NodeJS.Timeout | undefined;
    const late = new Promise<void>((resolve) => {
      limit = setTimeout(resolve, CLOSE_LIMIT_MS);
    });
    await Promise.race([wire.close(), late]);
    clearTimeout(limit);
  }

  #try(): void {
    const attempt = new AbortController();
    this.#attempt = attempt;
    this.#connect(this.#eventsOf(attempt), attempt.signal).then(
      (wire) => this.#connected(attempt, wire),
      (error: unknown) => this.#lost(attempt, messageOf(error)),
    );
  }

  #connected(attempt: AbortController, wire: Wire): void {
    if (attempt !== this.#attempt) {
      void wire.close();
      return;
    }
    this.#wire = wire;
    this.#reconnect.up();
    this.#report.stats.address = wire.address;
    this.#report.up(wire.how);
  }

  #eventsOf(attempt: AbortController): WireEvents {
    const stats = this.#report.stats;
    const current = () => attempt === this.#attempt;
    return {
      data: (chunk) => {
        if (!current()) return;
        this.#reconnect.flowed();
        this.#splitter.push(chunk);
      },
      complete: () => {
        if (current()) this.#splitter.flush();
      },
      sent: () => {
        stats.sent += 1;
      },
      dropped: (count) => {
        stats.dropped += count;
      },
      gaps: (count) => {
        stats.gaps += count;
      },
      replaced: (count) => {
        stats.replaced += count;
      },
      complain: (text, why) => {
        if (current()) this.#report.complain(text, why);
      },
      lost: (why) => this.#lost(attempt, why),
    };
  }

  #lost(attempt: AbortController, why: string): void {
    if (attempt !== this.#attempt || this.#closed) return;
    void this.#letGo()?.close();
    this.#reconnect.failed(() => this.#try());
    this.#report.down(why);
  }

  /** Ends the present attempt, so that nothing of it is heard any more; returns its wire, for closing. */
  #letGo(): Wire | undefined {
    const wire = this.#wire;
    this.#wire = undefined;
    this.#report.stats.address = undefined;
    this.#splitter.discard();
    const attempt = this.#attempt;
    this.#attempt = undefined;
    attempt?.abort();
    return wire;
  }
}
