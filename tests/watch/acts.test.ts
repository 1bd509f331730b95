/** Every act in every phase: accepted with what comes of it, or refused with its reason and nothing changed. */
import { describe, expect, test } from "vitest";
import { distanceM } from "../../src/units/position.ts";
import { fromKn } from "../../src/units/speed.ts";
import { act, KEPT_VERBS } from "../../src/watch/acts.ts";
import { beginWatch, type Phase, type WatchState } from "../../src/watch/state.ts";
import { step } from "../../src/watch/step.ts";
import { EVENING_MS } from "../instruments/aboard.ts";
import { orderOf, PHASES, pictured, place, seen, stateAfter, WATCH, watchOf } from "./aboard.ts";

const PHASE_NAMES: readonly Phase[] = ["underway", "let-go", "riding", "weighing"];
const NEAR = "5045.6500,N,00118.2400,W";
const FAR = "5055.0000,N,00118.2400,W"; // 17 km north: more than 5 miles

/** The next phase, or the reason of the refusal in capitals, for each phase. */
const TABLE: readonly (readonly [act: string, ...outcomes: string[]])[] = [
  //                              underway    let-go      riding      weighing
  ["LETGO", /*                  */ "let-go", "PHASE", "PHASE", "PHASE"],
  [`LETGO,${NEAR}`, /*          */ "let-go", "PHASE", "PHASE", "PHASE"],
  [`LETGO,${FAR}`, /*           */ "FAR", "PHASE", "PHASE", "PHASE"],
  ["RODE,35.0,M", /*            */ "PHASE", "let-go", "riding", "weighing"],
  ["RODE,20.0,F", /*            */ "PHASE", "let-go", "riding", "weighing"],
  ["RODE,0,M", /*               */ "PHASE", "let-go", "riding", "weighing"],
  ["RODE,68.0,M", /*            */ "PHASE", "let-go", "riding", "weighing"],
  ["RODE,68.1,M", /*            */ "PHASE", "RODE", "RODE", "RODE"],
  ["RODE,-1.0,M", /*            */ "PHASE", "RANGE", "RANGE", "RANGE"],
  ["BROUGHTUP", /*              */ "PHASE", "riding", "riding", "PHASE"],
  [`PLACE,${NEAR}`, /*          */ "PHASE", "let-go", "riding", "weighing"],
  ["PLACE,045.0,T,12.0,M", /*   */ "PHASE", "let-go", "riding", "weighing"],
  [`PLACE,${FAR}`, /*           */ "PHASE", "FAR", "FAR", "FAR"],
  ["PLACE,000.0,T,9999.0,M", /* */ "PHASE", "FAR", "FAR", "FAR"],
  ["WEIGH", /*                  */ "PHASE", "weighing", "weighing", "PHASE"],
  ["WEIGH,BALL", /*             */ "PHASE", "weighing", "weighing", "PHASE"],
  ["AWEIGH", /*                 */ "PHASE", "underway", "underway", "underway"],
  ["SLIP", /*                   */ "PHASE", "underway", "underway", "underway"],
  ["RISE,1.2,M", /*             */ "underway", "let-go", "riding", "weighing"],
  ["RISE,201.0,M", /*           */ "RANGE", "RANGE", "RANGE", "RANGE"],
  ["RISE,-0.1,M", /*            */ "RANGE", "RANGE", "RANGE", "RANGE"],
  ["SPLICE", /*                 */ "PHASE", "let-go", "riding", "weighing"],
  ["EXPECT,30.0,N", /*          */ "underway", "let-go", "riding", "weighing"],
  ["EXPECT,101.0,M", /*         */ "RANGE", "RANGE", "RANGE", "RANGE"],
  ["WIND,15.0,N", /*            */ "underway", "let-go", "riding", "weighing"],
  ["WIND,8.0,M,200.0", /*       */ "underway", "let-go", "riding", "weighing"],
  ["WIND,101.0,M", /*           */ "RANGE", "RANGE", "RANGE", "RANGE"],
  ["FACT,port-down:bus,1,gone", "underway", "let-go", "riding", "weighing"],
  ["FACT,log-failing,0", /*     */ "underway", "let-go", "riding", "weighing"],
  ["FACT,dragging,1", /*        */ "FORMAT", "FORMAT", "FORMAT", "FORMAT"],
  ["FACT,constructor,1", /*     */ "FORMAT", "FORMAT", "FORMAT", "FORMAT"],
  ["FACT,toString:x,1", /*      */ "FORMAT", "FORMAT", "FORMAT", "FORMAT"],
  ["SET,watch.margin,20 m", /*  */ "FORMAT", "FORMAT", "FORMAT", "FORMAT"],
];

/** Lying 30 m south of the anchorage where the anchor was let go, two minutes later. */
const LATER = pictured(120, { ...seen.fix(120, -30), ...seen.heading(120, 0), ...seen.depth(120, 5) });

describe.each(TABLE)("%s", (body, ...outcomes) => {
  test.each(PHASE_NAMES.map((phase, i) => [phase, outcomes[i] ?? ""] as const))(
    "%s: %s",
    (phase, outcome) => {
      const state = PHASES[phase]();
      const before = structuredClone(state);
      const answer = act(state, orderOf(body), LATER, WATCH);
      if (outcome === outcome.toUpperCase()) {
        expect(answer).toEqual({ ok: false, reason: outcome.toLowerCase() });
      } else {
        expect(answer.ok && answer.state.stay.phase).toBe(outcome);
      }
      // Neither a refusal nor an acceptance changes the state it was given.
      expect(state).toEqual(before);
    },
  );
});

test("every verb that is kept stands in the table, or has a test of its own", () => {
  const tried = new Set([...TABLE.map(([body]) => body.split(",")[0]), "UNDO"]);
  const elsewhere = ["BOTTOM", "KEEPOFF", "NEUTRAL", "LIE"];
  expect(KEPT_VERBS.filter((verb) => !tried.has(verb) && !elsewhere.includes(verb))).toEqual([]);
});

const done = (state: WatchState, body: string, picture = LATER, settings = WATCH): WatchState => {
  const answer = act(state, orderOf(body), picture, settings);
  if (!answer.ok) throw new Error(`${body}: ${answer.reason}`);
  return answer.state;
};

describe("without what it needs an act is refused", () => {
  const nothing = pictured(120);
  test.each([
    ["LETGO", "underway"],
    ["BROUGHTUP", "riding"],
  ] as const)("%s, %s: a fix", (body, phase) => {
    expect(act(PHASES[phase](), orderOf(body), nothing, WATCH)).toEqual({ ok: false, reason: "range" });
  });

  test("let go at a place told needs no fix", () => {
    expect(done(PHASES.underway(), `LETGO,${NEAR}`, nothing).stay.phase).toBe("let-go");
  });

  test("a rode that is not configured has no splice, and no end", () => {
    const settings = { ...WATCH, rode: undefined };
    expect(act(PHASES.riding(), orderOf("SPLICE"), LATER, settings)).toEqual({ ok: false, reason: "rode" });
    expect(act(PHASES.riding(), orderOf("RODE,1000.0,M"), LATER, settings).ok).toBe(true);
    expect(act(PHASES.riding(), orderOf("RODE,1000.1,M"), LATER, settings).ok).toBe(false);
  });

  test("a rode all of rope has no splice", () => {
    const rode = WATCH.rode && { ...WATCH.rode, chainM: 0 };
    expect(act(PHASES.riding(), orderOf("SPLICE"), LATER, { ...WATCH, rode })).toEqual({
      ok: false,
      reason: "rode",
    });
  });
});

describe("what comes of it", () => {
  test("let go repeated changes nothing: the first place stands", () => {
    const state = PHASES["let-go"]();
    expect(act(state, orderOf("LETGO"), LATER, WATCH)).toEqual({ ok: false, reason: "phase" });
    expect(distanceM(state.stay.anchor?.position ?? place(0), place(6))).toBeLessThan(0.01);
  });

  test("lengths told in feet and fathoms", () => {
    expect(done(PHASES.riding(), "RODE,100.0,f").stay.rode?.lengthM).toBeCloseTo(30.48, 9);
    expect(done(PHASES.riding(), "RODE,20.0,F").stay.rode?.lengthM).toBeCloseTo(36.576, 9);
    expect(done(PHASES.riding(), "SPLICE").stay.rode).toMatchObject({ lengthM: 8, source: "splice" });
  });

  test("a place told, or reckoned from where it was taken to be", () => {
    const anchor = done(PHASES.riding(), "PLACE,090.0,T,12.0,M").stay.anchor;
    expect(distanceM(anchor?.position ?? place(0), place(6, 12))).toBeLessThan(0.01);
    expect(anchor?.depthM).toBe(5);
  });

  test("aweigh forgets the stay; slipped keeps the place for recovery until the next let go", () => {
    const aweigh = done(PHASES.weighing(), "AWEIGH").stay;
    expect([aweigh.anchor, aweigh.rode, aweigh.slipped]).toEqual([undefined, undefined, undefined]);
    const slipped = done(PHASES.riding(), "SLIP");
    expect(slipped.stay.anchor).toBeUndefined();
    expect(distanceM(slipped.stay.slipped ?? place(99), place(6))).toBeLessThan(0.01);
    expect(done(slipped, "LETGO").stay.slipped).toBeUndefined();
  });

  test("the rise and the wind expected are kept from the approach, and forgotten with the stay", () => {
    const state = done(done(PHASES.underway(), "EXPECT,30.0,N"), "RISE,1.2,M");
    const anchored = done(state, "LETGO");
    expect(anchored.stay.expectMps).toBeCloseTo(fromKn(30), 9);
    expect(anchored.stay.rise?.riseM).toBe(1.2);
    const gone = done(anchored, "AWEIGH").stay;
    expect([gone.expectMps, gone.rise]).toEqual([undefined, undefined]);
  });

  test("a fact stands from when it was first told until it is taken back", () => {
    const down = done(PHASES.riding(), "FACT,port-down:bus,1,gone");
    const told = done(down, "FACT,port-down:bus,1,still gone", pictured(500));
    expect(told.facts["port-down:bus"]).toEqual({ text: "still gone", sinceMs: EVENING_MS + 120_000 });
    expect(done(told, "FACT,port-down:bus,0").facts).toEqual({});
  });
});

describe("brought up again while riding: she holds again, here", () => {
  test("the anchor is put ahead of her, towards where it was, a rode's reach off", () => {
    // Dragged 60 m south of where she could lie: antenna 106 m from the anchor's old place.
    const here = pictured(120, { ...seen.fix(120, -100), ...seen.depth(120, 5) });
    const { anchor } = done(PHASES.riding(), "BROUGHTUP", here).stay;
    const reachM = Math.sqrt(35 ** 2 - 6.1 ** 2) + 6;
    expect(distanceM(anchor?.position ?? place(0), place(-100 + reachM))).toBeLessThan(0.05);
    expect(anchor?.sinceMs).toBe(EVENING_MS + 120_000);
  });

  test("while she lies within reach of it, nothing says that it has moved: it stays where it was", () => {
    const before = PHASES.riding();
    const state = done(before, "BROUGHTUP");
    expect(state.stay.phase).toBe("riding");
    expect(state.stay.anchor).toEqual(before.stay.anchor);
  });

  test("a little beyond, as sure as its place is, it is only confirmed; not so when a drag was told", () => {
    const reachM = Math.sqrt(35 ** 2 - 6.1 ** 2) + 6;
    const here = pictured(120, { ...seen.fix(120, -reachM + 3), ...seen.depth(120, 5) });
    const before = PHASES.riding();
    expect(done(before, "BROUGHTUP", here).stay.anchor).toEqual(before.stay.anchor);
    const { drag } = step(before, here, WATCH).state;
    const hold = drag.hold && { ...drag.hold, tier: { ...drag.hold.tier, alarm: { atMs: 0, fromMs: 0 } } };
    const alarmed = { ...before, drag: { ...drag, hold } };
    expect(done(alarmed, "BROUGHTUP", here).stay.anchor?.sinceMs).toBe(EVENING_MS + 120_000);
  });
});

describe("UNDO", () => {
  test("takes back the last act, whichever it was, and only that one", () => {
    for (const [body, ...outcomes] of TABLE) {
      for (const [i, phase] of PHASE_NAMES.entries()) {
        const outcome = outcomes[i] ?? "";
        if (body.startsWith("FACT") || outcome === outcome.toUpperCase()) continue;
        const before = PHASES[phase]();
        const undone = done(done(before, body), "UNDO");
        expect(undone.stay, `${body} in ${phase}`).toEqual(before.stay);
        expect(undone.windTold, `${body} in ${phase}`).toEqual(before.windTold);
        expect(act(undone, orderOf("UNDO"), LATER, WATCH)).toEqual({ ok: false, reason: "phase" });
      }
    }
  });

  test("what the edges report is no act: it is not taken back, and does not stand in the way", () => {
    const state = done(done(stateAfter(), "LETGO"), "FACT,port-down:bus,1,gone");
    const undone = done(state, "UNDO");
    expect(undone.stay.phase).toBe("underway");
    expect(undone.facts["port-down:bus"]).toBeDefined();
  });

  test("a refused act is no act", () => {
    const state = done(stateAfter(), "LETGO");
    expect(act(state, orderOf("RODE,99.0,M"), LATER, WATCH).ok).toBe(false);
    expect(done(state, "UNDO").stay.phase).toBe("underway");
  });

  test("within a minute", () => {
    const state = done(stateAfter(), "LETGO", LATER);
    const at = (s: number) => act(state, orderOf("UNDO"), pictured(s), WATCH);
    expect(at(180).ok).toBe(true);
    expect(at(181)).toEqual({ ok: false, reason: "phase" });
  });

  test("nothing to take back", () => {
    expect(act(beginWatch(EVENING_MS), orderOf("UNDO"), LATER, WATCH)).toEqual({
      ok: false,
      reason: "phase",
    });
  });
});

test("acts on a watch that goes on: a whole stay", () => {
  const watch = watchOf(stateAfter());
  const lying = (s: number) => [seen.fix(s, -30), seen.heading(s, 0), seen.depth(s, 5)] as const;
  for (const [s, body, phase] of [
    [10, "LETGO", "let-go"],
    [60, "RODE,35.0,M", "let-go"],
    [300, "BROUGHTUP", "riding"],
    [900, "WEIGH", "weighing"],
    [960, "AWEIGH", "underway"],
  ] as const) {
    watch.second(s, ...lying(s));
    expect(watch.act(s, body, ...lying(s)).state.stay.phase).toBe(phase);
  }
});
