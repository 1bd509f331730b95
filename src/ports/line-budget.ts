/**
 * Paces what goes out on a slow line: one sentence at a time, the next when the line must have finished it, so
 * that no queue builds up in the system, where nothing could overtake. An urgent sentence is next after the one
 * being sent; then what is ours; then what is passed on for others. At most QUEUE_BOUND sentences wait.
 */
import { type QueueSubject, subjectOf } from "./queue-subject.ts";

export const QUEUE_BOUND = 64;

/** 8N1: a start bit, eight data bits, a stop bit (IEC 61162-1). */
const BITS_PER_CHARACTER = 10;
const LINE_END_LENGTH = 2;

/** How long the line is busy with one sentence and its CR LF, ms. */
export function lineTimeMs(text: string, baud: number): number {
  return ((text.length + LINE_END_LENGTH) * BITS_PER_CHARACTER * 1000) / baud;
}

export interface LineBudgetPlan {
  baud: number;
  /** Writes one sentence; settles when the system has taken it. While it does not, nothing else is written. */
  write(text: string): Promise<void>;
  /** Sentences that will never be sent. */
  dropped(count: number): void;
  /** Sentences that gave way to a newer one on the same matter. */
  replaced(count: number): void;
}

/** Order on the wire; the other way round when something must be dropped. */
const RANK = { urgent: 0, own: 1, passedOn: 2 } as const;
type Rank = (typeof RANK)[keyof typeof RANK];

interface Waiting {
  text: string;
  rank: Rank;
  subject: QueueSubject | undefined;
}

export interface LineBudget {
  send(text: string, urgent: boolean, passedOn?: boolean): void;
  /** Is a sentence still on its way into the system? */
  writing(): boolean;
  /** What waits is dropped, and so is what comes later. */
  close(): void;
}

export function createLineBudget(plan: LineBudgetPlan): LineBudget {
  let waiting: Waiting[] = [];
  let busy = false;
  let writing = false;
  let closed = false;
  let timer: NodeJS.Timeout | undefined;

  function pump(): void {
    if (busy || closed) return;
    const next = takeNext(waiting);
    if (next !== undefined) void transmit(next.text);
  }

  async function transmit(text: string): Promise<void> {
    busy = true;
    writing = true;
    const lineFree = new Promise<void>((resolve) => {
      timer = setTimeout(resolve, Math.ceil(lineTimeMs(text, plan.baud)));
    });
    await plan.write(text).catch(() => {}); // a lost sentence is the writer's to count
    writing = false;
    await lineFree;
    busy = false;
    pump();
  }

  return {
    send(text, urgent, passedOn) {
      if (closed) {
        plan.dropped(1);
        return;
      }
      const newcomer = { text, rank: rankOf(urgent, passedOn ?? false), subject: subjectOf(text) };
      const placed = place(waiting, newcomer);
      waiting = placed.waiting;
      if (placed.replaced > 0) plan.replaced(placed.replaced);
      if (waiting.length > QUEUE_BOUND) {
        dropOne(waiting);
        plan.dropped(1);
      }
      pump();
    },
    writing: () => writing,
    close() {
      closed = true;
      clearTimeout(timer);
      if (waiting.length > 0) plan.dropped(waiting.length);
      waiting = [];
    },
  };
}

function rankOf(urgent: boolean, passedOn: boolean): Rank {
  if (urgent) return RANK.urgent;
  return passedOn ? RANK.passedOn : RANK.own;
}

/** The oldest of the first rank there is. */
function takeNext(waiting: Waiting[]): Waiting | undefined {
  const first = Math.min(...waiting.map((w) => w.rank));
  const at = waiting.findIndex((w) => w.rank === first);
  return waiting.splice(Math.max(at, 0), 1)[0];
}

/** The oldest of the last rank there is. */
function dropOne(waiting: Waiting[]): void {
  const last = Math.max(...waiting.map((w) => w.rank));
  waiting.splice(
    waiting.findIndex((w) => w.rank === last),
    1,
  );
}

/**
 * The queue with a newcomer in it. Older sentences on the same matter that are not urgent go (ours for ours,
 * others' for others'): a stale state must not follow a newer one. It stands behind the parts of its own report; else in the first one's place (a
 * busy matter is not put back for ever), or at the end.
 */
function place(waiting: readonly Waiting[], newcomer: Waiting): { waiting: Waiting[]; replaced: number } {
  const { subject } = newcomer;
  const isPassedOn = (w: Waiting) => w.rank === RANK.passedOn;
  const sameMatter = (w: Waiting) =>
    subject !== undefined && w.subject?.matter === subject.matter && isPassedOn(w) === isPassedOn(newcomer);
  const sameReport = (w: Waiting) =>
    sameMatter(w) && subject?.report !== undefined && w.subject?.report === subject.report;
  const outdated = (w: Waiting) => sameMatter(w) && w.rank !== RANK.urgent && !sameReport(w);

  const firstOutdated = waiting.findIndex(outdated);
  const kept = waiting.filter((w) => !outdated(w));
  const afterReport = kept.findLastIndex(sameReport) + 1;
  let at = kept.length;
  if (afterReport > 0) at = afterReport;
  else if (firstOutdated >= 0 && newcomer.rank !== RANK.urgent) at = firstOutdated;
  return { waiting: kept.toSpliced(at, 0, newcomer), replaced: waiting.length - kept.length };
}
