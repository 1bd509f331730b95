/** What the page is given and what it gives back. */
import type { BoatState, TrackAnswer } from "./boat-state.ts";
import type { NightsDeps } from "./nights.ts";
import type { SettingsDeps } from "./settings.ts";

export interface PageSettings {
  /** Port 0 lets the system choose (tests). */
  listen: { host: string; port: number };
  units: PageUnits;
  /** Holds the PIN and the sessions, hashed, mode 0600. Deleting it gives a new PIN and unpairs every phone. */
  pinFile: string;
  /** Names the page answers to, besides localhost, this machine's own and IP addresses. */
  allowedHosts?: readonly string[];
  /** Where the compiled client lies; left out, it is found beside this code. */
  clientRoot?: string;
}

export type PageUnits = "metric" | "feet" | "fathoms";

export type AlertCommand = "acknowledge" | "silence";
export type ActRefusal = "phase" | "range" | "format" | "port" | "far" | "rode";
export type ActAnswer = { ok: true } | { ok: false; reason: ActRefusal };
export type CommandAnswer = { ok: true } | { ok: false; reason: "unknown" | "refused" };

export interface PageDeps {
  /** The whole picture, ready for JSON. Asked for when somebody looks, at most about 5 times a second. */
  state(): BoatState;
  /** The track after this instant (ms), in at most 600 points. */
  track(sinceMs: number): TrackAnswer;
  /** Left out where there are none to set. */
  settings?: SettingsDeps;
  /** The nights kept; left out where none are. */
  nights?: NightsDeps;
  /** Gives an act to the core as the body of a sentence, `PRDW,RODE,35.0,M`: no start, no checksum. */
  act(body: string): ActAnswer;
  command(key: string, command: AlertCommand): CommandAnswer;
  /** Prometheus text. */
  metrics(): string;
  healthy(): { ok: boolean; why: string };
  nowMs(): number;
}

/** The part of pino that the page uses. */
export interface PageLog {
  info(fields: object, text: string): void;
  warn(fields: object, text: string): void;
  error(fields: object, text: string): void;
}

/** The page cannot be served. The message is one line for a person. */
export class PageError extends Error {
  override readonly name = "PageError";

  constructor(problem: string) {
    super(`page: ${problem}`);
  }
}
