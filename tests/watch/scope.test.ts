import { describe, expect, test } from "vitest";
import { fromKn } from "../../src/units/speed.ts";
import { heightsNow } from "../../src/watch/ground.ts";
import { scopeNow } from "../../src/watch/scope.ts";
import { pictured, seen, stateAfter, WATCH, type Watch, watchOf } from "./aboard.ts";

describe("the figures", () => {
  test("rode out ÷ height of the roller: 35 m in 5 m and 1.1 m", () => {
    const { figures } = watchOf(stateAfter("LETGO", "RODE,35.0,M")).second(
      1,
      seen.depth(1, 5),
      seen.wind(1, 10, 14),
    );
    expect(figures.scope.now).toBeCloseTo(35 / 6.1, 9);
    expect(figures.scope.target).toBe(5);
    expect(figures.scope.shortM).toBe(0);
  });

  // US Sailing: (10 + 2 + 3 ft) × 7 = 105 ft; here 10 ft of water, roller 3 ft, rise to come 2 ft.
  test("10 ft of water, 3 ft to the roller, 2 ft to rise, at 7: 105 ft", () => {
    const ft = 0.3048;
    const settings = { boat: { ...WATCH.boat, rollerHeightM: 3 * ft }, steps: [{ windMps: 0, ratio: 7 }] };
    const watch = watchOf(stateAfter(), { ...settings, rode: undefined });
    watch
      .act(1, "LETGO", seen.fix(1, 0), seen.depth(1, 10 * ft))
      .act(1, "RISE,2.0,f", seen.depth(1, 10 * ft));
    const { scope } = watch.second(2, seen.depth(2, 10 * ft)).figures;
    expect(scope.requiredM).toBeCloseTo(105 * ft, 6);
    watch.act(3, "RODE,105.0,f");
    const out = watch.second(4, seen.depth(4, 10 * ft)).figures.scope;
    expect(out.atHighWater).toBeCloseTo(7, 6);
    expect(out.now).toBeCloseTo(105 / 13, 6);
  });

  test("the larger depth of anchor and boat counts; without a depth there is no scope", () => {
    const watch = watchOf(stateAfter("LETGO", "RODE,35.0,M"));
    expect(watch.second(1, seen.depth(1, 3)).figures.scope.now).toBeCloseTo(35 / 6.1, 9);
    expect(watch.second(2, seen.depth(2, 8)).figures.scope.now).toBeCloseTo(35 / 9.1, 9);
    const unknown = watchOf(stateAfter("LETGO", "RODE,35.0,M"), {
      boat: { ...WATCH.boat, rollerHeightM: undefined },
    });
    expect(unknown.second(1, seen.depth(1, 5)).figures.scope.now).toBeUndefined();
  });

  test("without a rode told or counted there is none either, and what is required is still known", () => {
    const { scope } = watchOf(stateAfter("LETGO")).second(1, seen.depth(1, 5), seen.wind(1, 10, 14)).figures;
    expect([scope.now, scope.shortM]).toEqual([undefined, undefined]);
    expect(scope.requiredM).toBeGreaterThanOrEqual(6.1 * 5);
  });
});

describe("the rise still to come", () => {
  const rise = (told: string, toldAtM: number, nowM: number) => {
    const watch = watchOf(stateAfter("LETGO")).act(1, told, seen.depth(1, toldAtM));
    return heightsNow(watch.state.stay, pictured(2, seen.depth(2, nowM)), WATCH).riseM;
  };

  test("is what was told, less what has come", () => {
    expect(rise("RISE,1.2,M", 5, 5)).toBeCloseTo(1.2, 9);
    expect(rise("RISE,1.2,M", 5, 5.8)).toBeCloseTo(0.4, 9);
    expect(rise("RISE,1.2,M", 5, 6.5)).toBe(0);
    expect(rise("RISE,1.2,M", 5, 4.5)).toBeCloseTo(1.7, 9);
  });

  test("told on the approach, over other depths, it is reckoned from the depth at let go", () => {
    for (const approachM of [2, 20]) {
      const watch = watchOf(stateAfter());
      watch.act(1, "RISE,1.2,M", seen.depth(1, approachM));
      watch.act(60, "LETGO", seen.fix(60, 0), seen.depth(60, 5));
      const { riseM } = heightsNow(watch.state.stay, pictured(61, seen.depth(61, 5)), WATCH);
      expect(riseM).toBeCloseTo(1.2, 9);
    }
  });

  test("from the configuration it is reckoned from let go", () => {
    const { stay } = stateAfter("LETGO");
    const heights = heightsNow(stay, pictured(2, seen.depth(2, 5.5)), { ...WATCH, tideRiseM: 1.5 });
    expect(heights.riseM).toBeCloseTo(1, 9);
  });

  test("with no sounder all of it is still to come", () => {
    const watch = watchOf(stateAfter("LETGO")).act(1, "RISE,1.2,M");
    expect(heightsNow(watch.state.stay, pictured(2), WATCH).riseM).toBe(1.2);
  });
});

describe("the target", () => {
  const depth = (s: number) => seen.depth(s, 5);

  test("up at once; down only after 30 minutes below the step", () => {
    const watch = watchOf(stateAfter("LETGO", "RODE,35.0,M"));
    const targetAt = (s: number, knots: number) =>
      watch.second(s, depth(s), seen.wind(s, knots, knots * 1.3)).figures.scope.target;
    expect(targetAt(1, 12)).toBe(5);
    expect(targetAt(2, 21)).toBe(7);
    expect(targetAt(3, 12)).toBe(7);
    expect(targetAt(2 + 1799, 12)).toBe(7);
    expect(targetAt(2 + 1800, 12)).toBe(5);
    expect(targetAt(2000, 31)).toBe(8);
  });

  test("the larger of the wind and what is expected", () => {
    const watch = watchOf(stateAfter("LETGO", "RODE,35.0,M", "EXPECT,30.0,N"));
    expect(watch.second(1, depth(1), seen.wind(1, 8, 11)).figures.scope.target).toBe(8);
  });

  test("with no wind now: the last mean for 30 minutes, then told, forecast, and 20 kn where nothing is known", () => {
    const basis = (settings: Partial<typeof WATCH>, atS: number, ...acts: string[]) => {
      const watch = watchOf(stateAfter("LETGO", ...acts), settings);
      watch.second(1, seen.wind(1, 12, 15));
      const state = { ...watch.state };
      const picture = pictured(atS);
      const { scope } = scopeNow(
        state,
        picture,
        heightsNow(state.stay, picture, WATCH),
        { ...watch.second(atS).figures.tackle, equivalentWindMps: undefined },
        { ...WATCH, ...settings },
      );
      return [scope.basis, scope.target];
    };
    expect(basis({}, 1801, "WIND,25.0,N")).toEqual(["last-mean", 5]);
    expect(basis({}, 1802, "WIND,25.0,N")).toEqual(["told", 7]);
    expect(basis({}, 7201, "WIND,25.0,N")).toEqual(["forecast", 5]);
    expect(basis({ forecastWindMps: fromKn(35) }, 1802)).toEqual(["forecast", 8]);
    expect(basis({ forecastWindMps: undefined }, 1802)).toEqual(["unknown", 7]);
  });
});

describe("a chain counter", () => {
  test("sets the rode out while the anchor is down, over what was told", () => {
    const watch = watchOf(stateAfter("LETGO", "RODE,35.0,M"));
    expect(watch.second(1, seen.counted(1, 22)).state.stay.rode).toMatchObject({
      lengthM: 22,
      source: "counted",
    });
    expect(watch.second(2).state.stay.rode?.lengthM).toBe(22);
    const underway = watchOf(stateAfter());
    expect(underway.second(1, seen.counted(1, 22)).state.stay.rode).toBeUndefined();
  });

  test.each([-1, 999, 68.5])("that says %d m of the 68 m aboard is not believed", (metres) => {
    const watch = watchOf(stateAfter("LETGO", "RODE,35.0,M"));
    expect(watch.second(1, seen.counted(1, metres)).state.stay.rode).toMatchObject({
      lengthM: 35,
      source: "told",
    });
  });

  test("that was not zeroed, or hangs, does not overrule what is told after it; it counts on from there", () => {
    const watch = watchOf(stateAfter("LETGO"));
    watch.second(1, seen.counted(1, 60));
    expect(watch.state.stay.rode).toMatchObject({ lengthM: 60, source: "counted" });
    watch.act(1, "RODE,35.0,M", seen.counted(1, 60));
    for (let s = 2; s <= 60; s++) watch.second(s, seen.counted(s, 60));
    expect(watch.state.stay.rode).toMatchObject({ lengthM: 35, source: "told" });
    for (let s = 61; s <= 64; s++) watch.second(s, seen.counted(s, s));
    expect(watch.state.stay.rode?.lengthM).toBeCloseTo(39, 9);
    // Set anew by so much at once it is believed as it stands: too little rode is told, too much would not be.
    watch.second(65, seen.counted(65, 12));
    expect(watch.state.stay.rode).toMatchObject({ lengthM: 12, source: "counted" });
  });

  test("told all of the rode over one that was not zeroed: a tick does not flip it, nor does silence", () => {
    const watch = watchOf(stateAfter("LETGO"));
    watch.second(1, seen.counted(1, 10));
    watch.second(20);
    watch.act(21, "RODE,68.0,M");
    watch.second(22, seen.counted(22, 10));
    expect(watch.state.stay.rode).toMatchObject({ lengthM: 68, source: "told" });
    watch.second(23, seen.counted(23, 10.3));
    expect(watch.state.stay.rode?.lengthM).toBe(68);
    watch.act(24, "RODE,20.0,M", seen.counted(24, 60));
    for (let s = 25; s <= 90; s++) watch.second(s, seen.counted(s, Math.max(36, 60 - (s - 24) / 2)));
    expect(watch.state.stay.rode?.lengthM).toBe(0);
  });

  test("back after more than was counted on: what was told stands, from there", () => {
    const watch = watchOf(stateAfter("LETGO"));
    watch.act(1, "RODE,40.0,M", seen.counted(1, 10));
    watch.second(30, seen.counted(30, 16));
    expect(watch.state.stay.rode).toMatchObject({ lengthM: 40, source: "told", countedM: 16 });
    watch.second(31, seen.counted(31, 17));
    expect(watch.state.stay.rode?.lengthM).toBe(41);
  });

  test("that stands still is not veering: how long it has stood is known", () => {
    const watch = watchOf(stateAfter("LETGO"));
    for (let s = 1; s <= 100; s++) watch.second(s, seen.counted(s, Math.min(s, 30)));
    expect(watch.state.stay.rode).toMatchObject({ lengthM: 30, atMs: pictured(30).atMs });
  });
});

describe("rode that runs out by the counter while she rides", () => {
  const riding = (settings: Parameters<typeof watchOf>[1] = {}) => {
    const watch = watchOf(stateAfter("LETGO", "BROUGHTUP"), settings);
    for (let s = 1; s <= 400; s++) watch.second(s, seen.counted(s, 35));
    return watch;
  };
  /** 1 m in 20 s, until so much is out; when it was said, and what. */
  const slipping = (watch: Watch, toM: number) => {
    const said: string[] = [];
    for (let s = 401; s <= 1500; s++) {
      watch.second(s, seen.counted(s, Math.min(toM, 35 + (s - 400) / 20)));
      const now = watch.found().find((one) => one.endsWith("rode-runs-out"));
      if (now !== undefined) said.push(`${s} ${now} ${watch.textOf("rode-runs-out")}`);
    }
    return said;
  };

  test("is said from 3 m on, and goes on while nobody says what is out", () => {
    const watch = riding();
    const said = slipping(watch, 47);
    expect(said[0]).toBe("464 warning rode-runs-out 35 m out, now 38 m: make fast");
    expect(said.at(-1)).toMatch(/^1500 warning rode-runs-out 35 m out, now 4[67] m: make fast$/);
    watch.act(1500, "RODE,47.0,M", seen.counted(1500, 47));
    watch.second(1501, seen.counted(1501, 47));
    expect(watch.found().join()).not.toContain("rode-runs-out");
  });

  test("a little with each gust, minutes apart, is the same", () => {
    const watch = riding();
    let firstS: number | undefined;
    for (let s = 401; s <= 4000; s++) {
      watch.second(s, seen.counted(s, 35 + 0.5 * Math.floor((s - 400) / 360)));
      if (watch.found().join().includes("rode-runs-out")) firstS ??= s;
    }
    expect(firstS).toBe(400 + 6 * 360);
  });

  test("a counter that is switched on, and says something else at once, has not run", () => {
    const watch = watchOf(stateAfter("LETGO", "RODE,40.0,M", "BROUGHTUP"));
    for (let s = 1; s <= 100; s++) watch.second(s, ...(s < 50 ? [] : [seen.counted(s, 44)]));
    expect(watch.state.stay.rode).toMatchObject({ lengthM: 44, source: "counted" });
    expect(watch.found().join()).not.toContain("rode-runs-out");
  });

  test("not for what is let out against chafe; a caution where somebody attends", () => {
    expect(slipping(riding(), 37)).toEqual([]);
    expect(slipping(riding({ stay: "attended" }), 40)[0]).toContain(" caution ");
  });

  test("not while she is let go and it is veered, nor where a person says what is out", () => {
    const watch = watchOf(stateAfter("LETGO"));
    expect(slipping(watch, 60)).toEqual([]);
    const told = riding();
    told.act(400, "RODE,50.0,M", seen.counted(400, 35));
    expect(told.second(401, seen.counted(401, 35)).findings.map(({ key }) => key)).not.toContain(
      "rode-runs-out",
    );
  });
});
