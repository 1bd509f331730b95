/** What happens in a scene and when: orders to the boat, the operator's sentences, the anchor's failings. */
import type { Drag } from "./ground.ts";

export type Order =
  /** Steam to the place meant for the anchor and stop there. */
  | { do: "approach"; speedKn: number }
  | { do: "steam"; courseDeg: number; speedKn: number }
  | { do: "neutral" }
  | { do: "let-go" }
  /** Veer until so much is out by the marks on the rode, telling the length as it goes; at the end so much too little. */
  | { do: "veer"; toM: number; rateMps: number; miscountM?: number }
  | { do: "astern"; thrustN: number }
  /** Take the rode in, steaming up to the anchor. */
  | { do: "heave"; toM: number; rateMps: number }
  | { do: "aweigh" }
  | { do: "drag"; drag: Drag }
  /** Nothing but the sentence. */
  | { do: "tell" };

export interface ScriptEvent {
  atS: number;
  order: Order;
  /** The operator's sentence that goes with it, without `$` and checksum. */
  act: string | undefined;
  /** What the narrator says; undefined: what the order says by itself, if anything. */
  say: string | undefined;
}

/** An event with an order and nothing said or told. */
export function event(atS: number, order: Order, act?: string, say?: string): ScriptEvent {
  return { atS, order, act, say };
}

export function tell(atS: number, act: string, say?: string): ScriptEvent {
  return event(atS, { do: "tell" }, act, say);
}

/** The operator acknowledges one of the watch's alerts. */
export function acknowledge(atS: number, id: number, say?: string): ScriptEvent {
  return tell(atS, `IIACN,,RDW,${id},1,A,C`, say);
}

export interface Arrival {
  /** Let go at this time; the boat is then at her place. */
  letGoS: number;
  rodeM: number;
  riseM: number | undefined;
  expectKn: number | undefined;
  /** A mark is missed: so much too little is told, until the watch contradicts it and it is told again. */
  miscountM: number | undefined;
}

/**
 * From neutral to brought up: stop, let go, veer by the marks, back down on the anchor, confirm. Takes about
 * 35 s before `letGoS` and 5 to 6 minutes after.
 */
export function arrival({ letGoS, rodeM, riseM, expectKn, miscountM }: Arrival): ScriptEvent[] {
  const veeredS = letGoS + Math.ceil(rodeM / VEER_MPS);
  const events = [
    event(letGoS - 35, { do: "neutral" }, undefined, "stopped, engine out of gear"),
    event(letGoS, { do: "let-go" }, "PRDW,LETGO"),
    event(letGoS + 3, { do: "veer", toM: rodeM, rateMps: VEER_MPS, miscountM: miscountM ?? 0 }),
    event(
      veeredS + 60,
      { do: "astern", thrustN: 900 },
      undefined,
      "engine slow astern, to dig the anchor in",
    ),
    event(veeredS + 130, { do: "astern", thrustN: 0 }, undefined, "engine stopped: she holds"),
    tell(veeredS + 200, "PRDW,BROUGHTUP", "brought up"),
  ];
  if (miscountM !== undefined)
    events.push(
      tell(veeredS + 165, `PRDW,RODE,${rodeM.toFixed(1)},M`, `a mark was missed: ${rodeM} m it is`),
    );
  if (riseM !== undefined)
    events.push(
      tell(letGoS + 20, `PRDW,RISE,${riseM.toFixed(1)},M`, `tide still to rise ${riseM.toFixed(1)} m`),
    );
  if (expectKn !== undefined)
    events.push(
      tell(letGoS + 26, `PRDW,EXPECT,${expectKn.toFixed(1)},N`, `${expectKn} kn expected before morning`),
    );
  return events;
}

const VEER_MPS = 0.35;

/** When `arrival` has the boat brought up. */
export function broughtUpS({ letGoS, rodeM }: Arrival): number {
  return letGoS + Math.ceil(rodeM / VEER_MPS) + 200;
}

/** From WEIGH to aweigh, with `rodeM` out; she then lies with engine running, stopped over the place. */
export function weighing(fromS: number, rodeM: number): { events: ScriptEvent[]; aweighS: number } {
  const heavedS = fromS + 30 + Math.ceil((rodeM - UP_AND_DOWN_M) / HEAVE_MPS);
  const aweighS = heavedS + 45;
  return {
    aweighS,
    events: [
      tell(fromS, "PRDW,WEIGH", "weighing: engine ahead, the rode comes in"),
      event(fromS + 30, { do: "heave", toM: UP_AND_DOWN_M, rateMps: HEAVE_MPS }),
      event(aweighS, { do: "aweigh" }, "PRDW,AWEIGH", "anchor aweigh"),
    ],
  };
}

/** The windlass of the rehearsal's boat: 15 m a minute. */
const HEAVE_MPS = 0.25;
const UP_AND_DOWN_M = 8;
