/** The websocket to the daemon: kept open, and said to be lost when nothing has come for some seconds. */
import type { BoatState } from "../boat-state.ts";

export interface LinkEvents {
  picture(state: BoatState): void;
  /** Nothing heard since then (ms by this device's clock). Told once a loss. */
  lost(sinceMs: number): void;
}

/** Three pictures missed. With the look every half second it is told within four seconds. */
const SILENT_AFTER_MS = 3500;
const LOOK_EVERY_MS = 500;
const RETRY_FIRST_MS = 500;
const RETRY_LONGEST_MS = 3000;
const OPENING_MS = 5000;

export interface Link {
  /** Tells the daemon whether an alarm would be heard here: said again on each new link. */
  hears(isArmed: boolean): void;
}

export function openLink(url: string, events: LinkEvents): Link {
  let socket: WebSocket | undefined;
  let startedAtMs = 0;
  let retryMs = RETRY_FIRST_MS;
  let retryAtMs = 0;
  let isLost = false;
  let isArmed = false;
  let heard = { wallMs: Date.now(), runningMs: performance.now() };

  /** By both clocks: the running one may stop while a phone sleeps, the wall clock may be set. */
  function silentMs(): number {
    return Math.max(Date.now() - heard.wallMs, performance.now() - heard.runningMs);
  }

  function connect(): void {
    startedAtMs = Date.now();
    const opened = new WebSocket(url);
    socket = opened;
    opened.onopen = () => {
      if (socket === opened && isArmed) opened.send(ARMED);
    };
    opened.onmessage = (event) => {
      if (socket === opened) take(String(event.data));
    };
    opened.onclose = () => {
      if (socket === opened) giveUp();
    };
  }

  function take(text: string): void {
    const state = read(text);
    if (state === undefined) return;
    heard = { wallMs: Date.now(), runningMs: performance.now() };
    retryMs = RETRY_FIRST_MS;
    isLost = false;
    events.picture(state);
  }

  function giveUp(): void {
    const old = socket;
    socket = undefined;
    old?.close();
    retryAtMs = Date.now() + retryMs;
    retryMs = Math.min(RETRY_LONGEST_MS, retryMs * 2);
  }

  function look(): void {
    if (silentMs() > SILENT_AFTER_MS && !isLost) {
      isLost = true;
      events.lost(heard.wallMs);
    }
    if (socket === undefined) {
      // A clock set back must not put the next try off.
      if (Date.now() >= retryAtMs || retryAtMs - Date.now() > RETRY_LONGEST_MS) connect();
    } else if (isLost && Date.now() - startedAtMs > OPENING_MS) giveUp();
  }

  connect();
  setInterval(look, LOOK_EVERY_MS);
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState !== "visible") return;
    retryMs = RETRY_FIRST_MS;
    retryAtMs = 0;
    look();
  });
  return {
    hears(now) {
      if (now === isArmed) return;
      isArmed = now;
      if (socket?.readyState === WebSocket.OPEN) socket.send(now ? ARMED : QUIET);
    },
  };
}

/** What a page tells of itself. */
const ARMED = "armed";
const QUIET = "quiet";

function read(text: string): BoatState | undefined {
  try {
    return JSON.parse(text) as BoatState;
  } catch {
    return undefined;
  }
}
