/**
 * What a port is, seen from outside: settings in, lines and up/down out, sentences to send in.
 *
 * A port never throws at its user once it is open, never keeps the user waiting, and holds a bounded amount
 * of memory whatever arrives and however slowly its peer reads. Sentences that cannot go out are dropped and
 * counted; the alerts are repeated by the alert side, never by a port.
 */

/** What a port may be asked to send, by configuration. */
export type SendClass = "alerts" | "anchor" | "rode" | "acts";

interface CommonSettings {
  /** Unique among the ports; stamps each line that came in here. */
  name: string;
  /** Talker of the sentences sent here; used by whoever writes them. */
  talker: string;
  send: readonly SendClass[];
  /** Formatters not sent here though their class is. */
  leaveOut: readonly string[];
  /** Alerts go here only when an alarm has stood unacknowledged for a while. */
  backup: boolean;
}

interface Datagrams {
  sendHost: string | undefined;
  sendPort: number | undefined;
  /** Address of the network that multicast is for; undefined: the system chooses. */
  interfaceHost: string | undefined;
  /** Routers that a multicast datagram may pass, plus one: 1 stays on the boat's network. */
  ttl: number;
}

/** What each kind needs besides. Port 0 lets the system choose (tests). */
interface KindSettings {
  serial: { device: string; baud: number };
  "tcp-client": { host: string; port: number };
  "tcp-server": { host: string; port: number };
  udp: Datagrams & { bindHost: string; bindPort: number };
  "udp-61162-450": Datagrams & {
    /** Heard: multicast groups, each with its port. */
    groups: readonly { host: string; port: number }[];
    /** Who we are in the TAG block: two letters and four digits. */
    source: string;
  };
  unix: { path: string };
  file: { path: string };
  stdin: unknown;
}

export type PortKind = keyof KindSettings;

/** Settings of a port of one of the kinds K; of any kind when K is left out. */
export type PortSettings<K extends PortKind = PortKind> = {
  [P in K]: CommonSettings & { kind: P } & KindSettings[P];
}[K];

export interface PortEvents {
  /** One line without its end, each character one byte (latin1). Never empty. */
  line(text: string): void;
  /** Told once a change. `why` is for a person: what it is connected to, or what is wrong and what helps. */
  state(up: boolean, why: string): void;
}

export interface PortStats {
  /** "opening" only until the first outcome; then "down" while it is retried. */
  state: "up" | "down" | "opening";
  /** Lines handed over. */
  lines: number;
  /** Bytes received that never became a line: too long, or cut off by a lost connection. */
  overrunBytes: number;
  /** Sentences the system has taken for a peer: one a client on a server. */
  sent: number;
  /** Sentences that were lost: no peer, peer too slow, queue full. */
  dropped: number;
  /** Queued sentences that gave way to a newer one on the same matter. */
  replaced: number;
  /** Lines that their sender counted (TAG `n:` or `g:`) and that never came. */
  gaps: number;
  /** Of a server: connected now. Else 0. */
  clients: number;
  /** Of a server: clients that have ever connected. Else 0. */
  joined: number;
  /** Times it came up again after it had been lost. */
  reconnects: number;
  /** Times the user's own listener threw. */
  listenerErrors: number;
  lastError: string | undefined;
  /** Where it is bound here, as `host:port`; undefined when it is not, or is no socket. */
  address: string | undefined;
}

export interface OpenPort {
  readonly name: string;
  readonly kind: PortKind;
  /**
   * Sends one sentence (no line end; CR LF is added). Urgent ones overtake all others of a paced port; those
   * passed on for another port go when nothing of ours waits. Returns at once; what becomes of it shows in the
   * stats.
   */
  send(text: string, urgent: boolean, passedOn?: boolean): void;
  /** A copy. */
  stats(): PortStats;
  /** Ends it within 200 ms; nothing is told after it. May be called twice. */
  close(): Promise<void>;
}

/** The part of pino that a port uses. */
export interface PortLog {
  info(fields: object, text: string): void;
  warn(fields: object, text: string): void;
  debug(fields: object, text: string): void;
}

export interface PortDeps {
  log: PortLog;
  /** [0, 1); spreads the retries. */
  random: () => number;
}

/** Does it wait for others to connect to it? */
export function isServer({ kind }: PortSettings): boolean {
  return kind === "tcp-server" || kind === "unix";
}

/** Can anything that is sent go anywhere? */
export function hasDestination(settings: PortSettings): boolean {
  if (settings.kind === "udp" || settings.kind === "udp-61162-450") return settings.sendHost !== undefined;
  return settings.kind !== "stdin";
}

/** A port that cannot start, and that retrying would not help. The message is one line for a person. */
export class PortError extends Error {
  override readonly name = "PortError";

  constructor(portName: string, problem: string) {
    super(`port "${portName}": ${problem}`);
  }
}

/** Does this port take sentences of that class? And, where it is named, that sentence of it? */
export function takes(settings: PortSettings, sendClass: SendClass, formatter?: string): boolean {
  if (!settings.send.includes(sendClass)) return false;
  return formatter === undefined || !settings.leaveOut.includes(formatter);
}

/**
 * The bytes of one sentence on a wire, CR LF included. A control character, or one that is no single byte,
 * becomes "?": it could otherwise end the line early. Such a sentence then fails its checksum, as it should.
 */
export function wireLine(text: string): Buffer {
  return Buffer.from(`${text.replace(/[^\x20-\x7e\x80-\xff]/g, "?")}\r\n`, "latin1");
}
