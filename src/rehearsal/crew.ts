/** The hands on board: carry out the script, work the rode, and tell the watch what they do. */
import { type Anchor, breakOut } from "./ground.ts";
import { clamp } from "./plane.ts";
import type { Order, ScriptEvent } from "./script.ts";

export type Mode =
  | { how: "approach"; speedKn: number }
  | { how: "steam"; courseDeg: number; speedKn: number }
  | { how: "adrift" }
  | { how: "heave" }
  | { how: "stopped" };

interface RodeWork {
  toM: number;
  rateMps: number;
  /** The next mark to be told. */
  nextMarkM: number;
  /** By so much less than there is. */
  miscountM: number;
}

export interface Crew {
  script: readonly ScriptEvent[];
  /** Events already done. */
  done: number;
  mode: Mode;
  asternN: number;
  /** True length out from the roller, metres; true over told. */
  rodeM: number;
  rodeTruth: number;
  work: RodeWork | undefined;
  /** Acts and narration of this second. */
  acts: string[];
  said: string[];
}

export function crewOf(script: readonly ScriptEvent[], begin: Mode, rodeTruth: number): Crew {
  const inOrder = [...script].sort((a, b) => a.atS - b.atS);
  return {
    script: inOrder,
    done: 0,
    mode: begin,
    asternN: 0,
    rodeM: 0,
    rodeTruth,
    work: undefined,
    acts: [],
    said: [],
  };
}

/** What an order needs to know and may change of the world. */
export interface Deck {
  anchor: Anchor | undefined;
  depthM: number;
  /** The roller above the bottom. */
  heightM: number;
  letGo(): void;
  aweigh(): void;
}

/** Carries out what is due by now. */
export function obey(crew: Crew, atS: number, deck: Deck): void {
  for (;;) {
    const due = crew.script[crew.done];
    if (due === undefined || due.atS > atS) return;
    crew.done++;
    const saidByItself = carryOut(crew, due.order, deck);
    const say = due.say ?? saidByItself;
    if (say !== undefined) crew.said.push(say);
    if (due.act !== undefined) crew.acts.push(due.act);
  }
}

function carryOut(crew: Crew, order: Order, deck: Deck): string | undefined {
  switch (order.do) {
    case "approach":
      crew.mode = { how: "approach", speedKn: order.speedKn };
      return undefined;
    case "steam":
      crew.mode = { how: "steam", courseDeg: order.courseDeg, speedKn: order.speedKn };
      return undefined;
    case "neutral":
      crew.mode = { how: "adrift" };
      return undefined;
    case "let-go":
      crew.mode = { how: "adrift" };
      crew.rodeM = deck.heightM + DROPPED_M;
      deck.letGo();
      return `anchor let go in ${deck.depthM.toFixed(1)} m`;
    case "veer":
      crew.work = {
        toM: order.toM,
        rateMps: order.rateMps,
        nextMarkM: markAfter(told(crew)),
        miscountM: order.miscountM ?? 0,
      };
      return undefined;
    case "astern":
      crew.asternN = order.thrustN;
      return undefined;
    case "heave":
      crew.mode = { how: "heave" };
      crew.work = {
        toM: order.toM,
        rateMps: -order.rateMps,
        nextMarkM: markBefore(told(crew)),
        miscountM: 0,
      };
      return undefined;
    case "aweigh":
      crew.mode = { how: "stopped" };
      crew.work = undefined;
      crew.rodeM = 0;
      deck.aweigh();
      return undefined;
    case "drag":
      if (deck.anchor !== undefined) breakOut(deck.anchor, order.drag);
      return "the anchor breaks out";
    case "tell":
      return undefined;
  }
}

const MARK_M = 10;
/** The anchor takes its own rode to the bottom, and this much more. */
const DROPPED_M = 1.5;

function markAfter(toldM: number): number {
  return Math.floor(toldM / MARK_M + 1) * MARK_M;
}

function markBefore(toldM: number): number {
  return Math.ceil(toldM / MARK_M - 1) * MARK_M;
}

function told(crew: Crew): number {
  return crew.rodeM / crew.rodeTruth;
}

/** Above this pull the rode slips on the windlass while veering, so that she is not snubbed. */
const SLIPS_N = 150;

/** Works the rode for one step; tells each mark as it passes, and the length when done. */
export function workRode(crew: Crew, pullN: number, stepS: number): void {
  const { work } = crew;
  if (work === undefined) return;
  const slipMps = work.rateMps > 0 ? clamp((pullN - SLIPS_N) / 500, 0, 0.8) : 0;
  const stepM = (work.rateMps + slipMps) * stepS;
  crew.rodeM += stepM;
  const lengthM = told(crew);
  if (work.rateMps > 0 ? lengthM >= work.toM : lengthM <= work.toM) {
    crew.rodeM = work.toM * crew.rodeTruth;
    crew.work = undefined;
    const saidM = work.toM - work.miscountM;
    tellRode(crew, saidM, work.rateMps > 0 ? `rode veered to ${saidM} m` : "up and down");
  } else if (work.rateMps > 0 && lengthM >= work.nextMarkM) {
    if (work.nextMarkM <= work.toM - work.miscountM) tellRode(crew, work.nextMarkM, undefined);
    work.nextMarkM += MARK_M;
  } else if (work.rateMps < 0 && lengthM <= work.nextMarkM) {
    tellRode(crew, work.nextMarkM, undefined);
    work.nextMarkM -= MARK_M;
  }
}

function tellRode(crew: Crew, lengthM: number, say: string | undefined): void {
  crew.acts.push(`PRDW,RODE,${lengthM.toFixed(1)},M`);
  if (say !== undefined) crew.said.push(say);
}

/** Takes what was done and said in this second off the crew's slate. */
export function report(crew: Crew): { acts: string[]; said: string[] } {
  const { acts, said } = crew;
  crew.acts = [];
  crew.said = [];
  return { acts, said };
}
