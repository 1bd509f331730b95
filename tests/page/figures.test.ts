import { describe, expect, test } from "vitest";
import type { BoatState } from "../../src/page/boat-state.ts";
import { figuresOf } from "../../src/page/client/figures.ts";
import { agesOf, byUrgency, headlineOf } from "../../src/page/client/headline.ts";
import {
  clock,
  coarseLength,
  compassPoint,
  fineLength,
  inUnits,
  latitude,
  longitude,
  ratio,
  type Speak,
  type Units,
} from "../../src/page/client/wording.ts";
import { alertWords, offBow } from "../../src/page/client/words.ts";
import { bareState, dragging, draggingState, ridingState, scopeShort } from "./stage.ts";

const METRIC: Speak = { lengths: "metric", speeds: "kn" };

function lines(state: BoatState, units: Units = "metric"): Record<string, string> {
  return Object.fromEntries(
    figuresOf(state, { lengths: units, speeds: "kn" }).map(({ label, value, note, look }) => [
      label,
      `${look}: ${value} | ${note}`,
    ]),
  );
}

describe("the written lines", () => {
  test("riding, all known", () => {
    expect(lines(ridingState())).toEqual({
      phase: "known: riding to her anchor | ",
      depth: "known: 6.9 m | 6.1 m under the keel",
      wind: "known: 13 kn | from SW, 226°; gusts 18 kn",
      rode: "known: 47 m out | 40 m is enough",
      scope: "known: 5.8 to 1 | want 5; 5.4 at high water",
      pull: "known: flat along the bottom | 4 m on the bottom; load 420\u00a0N",
      anchor: "known: 49 m off, bearing 227° | moved 1 ± 2 m; its place ± 2 m",
      circle: "known: 16 m to spare | circle of 66 m",
      alerts: "known: none now | ",
    });
    expect(lines(draggingState()).alerts).toBeUndefined();
  });

  test("in feet and in fathoms", () => {
    // 6.9 m = 22.64 ft = 3.77 fathoms; 47 m = 154.2 ft = 25.70 fathoms; 39.6 m = 129.9 ft = 21.65 fathoms
    expect(lines(ridingState(), "feet")).toMatchObject({
      depth: "known: 22.6 ft | 20.0 ft under the keel",
      rode: "known: 154 ft out | 130 ft is enough",
    });
    expect(lines(ridingState(), "fathoms")).toMatchObject({
      depth: "known: 3.8 fathoms | 3.3 fathoms under the keel",
      rode: "known: 25.7 fathoms out | 21.7 fathoms is enough",
    });
  });

  test("short of rode and scope, outside the circle: rounded to no comfort", () => {
    const state = ridingState();
    state.rode = { outM: 44, source: "geometry", uncertaintyM: 2.2, requiredM: 60.1 };
    state.scope = { now: 4.99, atHighWater: null, target: 7 };
    state.anchor.rangeM = 68.2;
    state.circle = { radiusM: 66.3, outside: true };
    expect(lines(state)).toMatchObject({
      rode: "short: 44 ± 3 m out | 61 m required: 17 m short",
      scope: "short: 4.9 to 1 | want 7",
      circle: "short: 2 m outside | circle of 66 m",
    });
  });

  test("the tide makes it short", () => {
    const state = ridingState();
    state.scope = { now: 5.2, atHighWater: 4.8, target: 5 };
    expect(lines(state).scope).toBe("short: 5.2 to 1 | want 5; 4.8 at high water");
  });

  test("what is absent is said in words, with since when, and no figure stands for it", () => {
    const bare = bareState();
    const since = clock(Date.parse("2026-06-15T01:00:05Z"));
    expect(lines(bare)).toEqual({
      phase: "known: under way | ",
      depth: `absent: no depth since ${since} | `,
      wind: "absent: no wind | ",
      alerts: "known: none now | ",
    });
    const riding = lines({ ...bare, phase: "riding" });
    expect(Object.keys(riding)).toEqual([
      "phase",
      "depth",
      "wind",
      "rode",
      "scope",
      "pull",
      "anchor",
      "circle",
      "alerts",
    ]);
    for (const [label, line] of Object.entries(riding))
      if (label !== "phase" && label !== "depth") expect(line).not.toMatch(/\d/);
  });

  test("zero is a figure, and shown as one", () => {
    const state = ridingState();
    state.wind = { ...state.wind, meanKn: 0, gustKn: 0, fromDeg: null };
    state.depth = { ...state.depth, surfaceM: 0 };
    expect(lines(state)).toMatchObject({
      wind: "known: 0 kn | direction not known; gusts 0 kn",
      depth: "known: 0.0 m | 6.1 m under the keel",
    });
  });

  test("before a mean there is the apparent wind", () => {
    const state = ridingState();
    state.wind = { ...state.wind, meanKn: null, gustKn: null, fromDeg: null };
    expect(lines(state).wind).toBe("known: 14 kn apparent, from 8° to port | no mean yet");
  });

  test("a lost position leaves no distance", () => {
    const state = ridingState();
    state.position = { lat: null, lon: null, ageS: 65, source: "bow-gps" };
    state.anchor = { ...state.anchor, rangeM: null, bearingDeg: null };
    expect(lines(state)).toMatchObject({
      anchor: `absent: no position since ${clock(Date.parse("2026-06-15T01:09:00Z"))} | `,
      circle: "absent: not known whether inside | circle of 66 m",
    });
  });
});

describe("the headline", () => {
  test("is the callout's first sentence, the rest is why", () => {
    expect(headlineOf(ridingState(), METRIC)).toEqual({
      words: "No drag",
      why: "Held 18 kn at 01:10. Rode 5.8 to 1, want 5.",
      also: "",
      steps: [],
      tone: "good",
      flash: false,
    });
  });

  test("is the phase where nothing is called", () => {
    expect(headlineOf(bareState(), METRIC)).toMatchObject({ words: "Under way", why: "", tone: "plain" });
  });

  test("an alarm takes it until its condition ends, and flashes until it is answered", () => {
    const state = { ...ridingState(), alerts: [scopeShort, dragging] };
    expect(headlineOf(state, METRIC)).toMatchObject({
      words: "Dragging",
      why: dragging.text,
      tone: "alarm",
      flash: true,
    });
    expect(headlineOf(state, METRIC).also).toBe(state.callout);
    expect(headlineOf(draggingState(), METRIC).also).toBe("");
    state.alerts = [{ ...dragging, state: "silenced" }];
    expect(headlineOf(state, METRIC)).toMatchObject({ words: "Dragging", tone: "alarm", flash: false });
    state.alerts = [{ ...dragging, state: "acknowledged" }];
    expect(headlineOf(state, METRIC)).toMatchObject({ words: "Dragging", tone: "taken", flash: false });
    state.alerts = [{ ...dragging, state: "rectified" }];
    expect(headlineOf(state, METRIC)).toMatchObject({ words: "No drag", tone: "plain" });
  });

  test("a warning that nobody has seen goes before an alarm that was answered, and that is not forgotten", () => {
    const taken = { ...dragging, state: "acknowledged" as const };
    const state = { ...ridingState(), alerts: [taken, scopeShort] };
    const said = headlineOf(state, METRIC);
    expect(said).toMatchObject({ words: "Scope short", tone: "warning" });
    state.alerts = [taken, { ...scopeShort, state: "acknowledged" }];
    expect(headlineOf(state, METRIC)).toMatchObject({ words: "Dragging", tone: "taken" });
    if (state.guidance !== null) state.guidance = { ...state.guidance, callout: null };
    const calm = { ...state, callout: null, guidance: null, alerts: [taken, scopeShort] };
    expect(headlineOf(calm, METRIC).also).toBe(`Dragging: ${dragging.text}.`);
  });

  test("a warning takes it until it is acknowledged, a caution never", () => {
    const state = { ...ridingState(), alerts: [scopeShort] };
    expect(headlineOf(state, METRIC)).toMatchObject({ words: "Scope short", tone: "warning", flash: false });
    const short = { ...state, rode: { ...state.rode, requiredM: 63.1 } };
    expect(headlineOf(short, METRIC)).toMatchObject({ words: "Veer 17 m", why: "Rode 5.4 to 1, want 5." });
    state.alerts = [{ ...scopeShort, state: "acknowledged" }];
    expect(headlineOf(state, METRIC)).toMatchObject({ words: "No drag", tone: "plain" });
    state.alerts = [{ ...scopeShort, key: "port-down", priority: "caution" }];
    expect(headlineOf(state, METRIC)).toMatchObject({ words: "No drag", tone: "plain" });
  });

  test("alarms stand before warnings, unanswered before answered, new before old", () => {
    const old = { ...dragging, key: "shoal", since: "2026-06-15T01:00:00Z" };
    const answered = { ...dragging, key: "outside-circle", state: "acknowledged" as const };
    const keys = byUrgency([scopeShort, answered, old, dragging]).map((alert) => alert.key);
    expect(keys).toEqual(["dragging", "shoal", "outside-circle", "scope-short"]);
  });

  test("the ages go on between two pictures", () => {
    const ages = (state: BoatState, laterS: number) =>
      agesOf(state, laterS).replaceAll("\u00a0", " ").replaceAll("\u2011", "-");
    expect(ages(ridingState(), 0)).toBe(
      "position 1 s old (bow-gps) · depth 1 s old (bus) · wind 2 s old (bus)",
    );
    expect(ages(ridingState(), 3)).toContain("depth 4 s old");
    expect(ages(bareState(), 0)).toBe("no position · no depth · no wind");
  });
});

describe("words", () => {
  test("points, sides, ratios, lengths", () => {
    expect([0, 11.2, 11.3, 226, 348.8, 359].map(compassPoint)).toEqual(["N", "N", "NNE", "SW", "N", "N"]);
    expect([0, 30, 330, 180, 359.8].map(offBow)).toEqual([
      "from ahead",
      "from 30° to starboard",
      "from 30° to port",
      "from astern",
      "from ahead",
    ]);
    expect([5, 4.96, 5.1, 0.3].map(ratio)).toEqual(["5", "4.9", "5.1", "0.3"]);
    expect(coarseLength(0.1 + 0.2 + 39.7, "metric", "ceil")).toBe("40 m");
    expect(coarseLength(1.8288 * 3, "fathoms", "floor")).toBe("3.0 fathoms");
    expect(fineLength(0.3048 * 12, "feet")).toBe("12.0 ft");
    expect(alertWords("outside-circle")).toBe("Out of the circle");
    expect(alertWords("something-new")).toBe("Something new");
  });
});

test("reminders stand below the headline while she lies quiet, and never are it", () => {
  const state = { ...ridingState(), callout: "No drag. Held 18 kn at 22:10." };
  const reminders = [{ key: "anchor-light", text: "Show the anchor light", why: "" }];
  state.guidance = { callout: null, reminders } as unknown as NonNullable<BoatState["guidance"]>;
  const { words, also } = headlineOf(state, METRIC);
  expect(words).toBe("No drag");
  expect(also).toBe("Show the anchor light.");
  expect(headlineOf({ ...state, callout: "Show the anchor light." }, METRIC).also).toBe("");
});

describe("rodeward's own words in the viewer's units", () => {
  const feet: Speak = { lengths: "feet", speeds: "m/s" };
  test.each([
    ["Veer 14 m more", "Veer 46 ft more"], // 14 / 0.3048 = 45.9
    ["Mean 21, gust 28 kn: get up and look", "Mean 10.8, gust 14.4 m/s: get up and look"], // 1 kn = 0.514444 m/s
    ["Moved 14 ± 2 m toward 069 since 21:42", "Moved 46 ± 7 ft toward 069 since 21:42"],
    ["watch 2 min; bow 2 off the rode", "watch 2 min; bow 2 off the rode"],
    ["5.4 to 1, want 5; 31 m to spare", "5.4 to 1, want 5; 102 ft to spare"],
    ["current 0.6 m/s", "current 0.6 m/s"],
  ])("%s", (told, said) => expect(inUnits(told, feet)).toBe(said));

  test("already so, nothing is touched", () => {
    expect(inUnits("Veer 14 m; 28 kn", METRIC)).toBe("Veer 14 m; 28 kn");
    expect(inUnits("7.7 fathoms", METRIC)).toBe("14.1 m"); // 1 fathom = 1.8288 m
  });
});

test("positions in degrees and minutes", () => {
  expect(latitude(54.46803, 0.01)).toBe("54°28.08′N");
  expect(latitude(-5.99999, 0.1)).toBe("06°00.0′S");
  expect(longitude(-0.5, 1)).toBe("000°30′W");
});
