/**
 * Those who look: every open websocket gets the whole picture, as text, when it opens and at each change.
 * Nobody is waited for: one who does not keep up, or no longer answers, is dropped.
 */

/** The part of a websocket that is used here. */
export interface Looker {
  readonly bufferedAmount: number;
  send(text: string): void;
  ping(): void;
  close(code: number): void;
  terminate(): void;
  on(event: "pong" | "close", listener: () => void): unknown;
  on(event: "message", listener: (data: { toString(): string }) => void): unknown;
}

export const MOST_LOOKERS = 50;
/** At most five pictures a second. */
export const LEAST_APART_MS = 200;
/** Some hundred pictures behind. */
export const TOO_FAR_BEHIND_BYTES = 256 * 1024;
/** A phone that left the network closes nothing: it is found by asking. */
const ASK_EVERY_MS = 15_000;
const PARTING_MS = 200;
const GOING_AWAY = 1001;

/** What a page tells of itself: whether its sound is armed, so that an alarm would be heard there. */
const ARMED = "armed";

export interface Audience {
  /** Is there a page that would sound an alarm? */
  hears(): boolean;
  isFull(): boolean;
  join(looker: Looker): void;
  /** Something has changed: shows it now, or as soon as the last one is 200 ms old. */
  push(): void;
  close(): Promise<void>;
}

/**
 * @param picture the text to show, asked for only when somebody looks; undefined when there is none, and then
 * nothing is shown: the silence tells a page that something is wrong
 */
export function createAudience(picture: () => string | undefined): Audience {
  const lookers = new Map<Looker, { answers: boolean; armed: boolean }>();
  let shownAtMs = Number.NEGATIVE_INFINITY;
  let waiting: NodeJS.Timeout | undefined;
  let isClosed = false;
  const asking = setInterval(ask, ASK_EVERY_MS);
  asking.unref();

  function ask(): void {
    for (const [looker, was] of lookers) {
      if (!was.answers) {
        drop(looker);
        continue;
      }
      was.answers = false;
      looker.ping();
    }
  }

  function drop(looker: Looker): void {
    lookers.delete(looker);
    looker.terminate();
  }

  function show(): void {
    waiting = undefined;
    shownAtMs = performance.now();
    if (lookers.size === 0) return;
    const text = picture();
    if (text === undefined) return;
    for (const looker of lookers.keys()) {
      if (looker.bufferedAmount > TOO_FAR_BEHIND_BYTES) drop(looker);
      else looker.send(text);
    }
  }

  return {
    hears: () => [...lookers.values()].some(({ armed }) => armed),
    isFull: () => lookers.size >= MOST_LOOKERS,
    join(looker) {
      const is = { answers: true, armed: false };
      lookers.set(looker, is);
      looker.on("pong", () => {
        is.answers = true;
      });
      looker.on("message", (data) => {
        is.armed = data.toString() === ARMED;
      });
      looker.on("close", () => lookers.delete(looker));
      const text = picture();
      if (text !== undefined) looker.send(text);
    },
    push() {
      if (waiting !== undefined || isClosed) return;
      const restMs = shownAtMs + LEAST_APART_MS - performance.now();
      if (restMs <= 0) show();
      else waiting = setTimeout(show, restMs);
    },
    async close() {
      isClosed = true;
      clearInterval(asking);
      clearTimeout(waiting);
      waiting = undefined;
      for (const looker of lookers.keys()) looker.close(GOING_AWAY);
      if (lookers.size > 0) await new Promise((resolve) => setTimeout(resolve, PARTING_MS));
      for (const looker of lookers.keys()) drop(looker);
    },
  };
}
