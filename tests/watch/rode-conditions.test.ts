import { expect, test } from "vitest";
import { readConfigFile } from "../../src/config/read.ts";
import { coreSettings } from "../../src/config/settings.ts";
import { advance, begin, type Core, type CoreSettings, type Second } from "../../src/core.ts";
import { seal } from "../../src/nmea/seal.ts";
import { parseInstant } from "../../src/units/time.ts";

const START_MS = parseInstant("2026-06-15T22:00:00Z") ?? 0;

function settingsFor(extra: (settings: CoreSettings) => void = () => {}): CoreSettings {
  const read = readConfigFile("fixtures/boats/grey-plover.toml");
  if (!read.ok) throw new Error(read.problems.join("; "));
  const settings = coreSettings(read.config, { utc: "given", ignoreOperator: false });
  extra(settings);
  return settings;
}

/** Grey Plover at anchor: a second at a time, with the depth, wind and rode asked for. */
function lyingBoat(settings: CoreSettings) {
  let core: Core = begin(settings, START_MS);
  let second = 0;
  let last: Second = core.last;
  const say = (body: string) => {
    const atMs = START_MS + second * 1000 + 100;
    const advanced = advance(core, { kind: "line", text: seal(body), port: "shell", atMs }, settings);
    core = advanced.core;
    last = advanced.seconds.at(-1) ?? last;
  };
  return {
    run(seconds: number, depthM: number, windKn: number) {
      for (let i = 0; i < seconds; i++) {
        const clock = new Date(START_MS + second * 1000).toISOString().slice(11, 19).replaceAll(":", "");
        say(`GPRMC,${clock}.00,A,5045.6120,N,00118.2340,W,0.1,,150626,1.1,W,A,S`);
        say(`SDDBS,,f,${depthM.toFixed(1)},M,,F`);
        say(`WIMWV,000.0,R,${windKn.toFixed(1)},N,A`);
        say("HEHDT,214.6,T");
        second++;
      }
    },
    say,
    alert: (key: "rode-short" | "rode-spent" | "shoal-coming") => core.alerts.active[key],
    last: () => last,
  };
}

test("rode-short: the mechanics ask for more than is out for ten minutes", () => {
  // Rule satisfied by the configuration (2 to 1), so only the pull can object.
  const boat = lyingBoat(
    settingsFor((s) => {
      s.watch.steps = [{ windMps: 0, ratio: 2 }];
    }),
  );
  boat.run(5, 5, 28);
  boat.say("PRDW,LETGO");
  boat.say("PRDW,RODE,14.0,M");
  boat.say("PRDW,BROUGHTUP");
  boat.run(600, 5, 28);
  expect(boat.alert("rode-short")).toBeUndefined();
  boat.run(90, 5, 28);
  expect(boat.alert("rode-short")?.priority).toBe("warning");
  expect(boat.alert("rode-short")?.text).toMatch(/^Pull \d+ deg at the gust: veer \d+ m$/);
  boat.say("PRDW,RODE,60.0,M");
  boat.run(310, 5, 28);
  expect(boat.alert("rode-short")?.status).toBe("rectified");
});

test("rode-spent: the target cannot be met with the rode aboard, with the depth that it serves", () => {
  const boat = lyingBoat(settingsFor());
  boat.run(5, 20, 12);
  boat.say("PRDW,LETGO");
  boat.say("PRDW,RODE,68.0,M");
  boat.say("PRDW,BROUGHTUP");
  boat.run(40, 20, 12);
  expect(boat.alert("rode-spent")?.priority).toBe("caution");
  // Before a minute of wind has been heard the 20 kn step counts: 68 m ÷ 7 − 1.1 m of roller.
  expect(boat.alert("rode-spent")?.text).toBe("This rode serves 8 m of water at most");
});

test("shoal-coming: by low water, from the rise told and the times of the tide", () => {
  const boat = lyingBoat(
    settingsFor((s) => {
      // High water in an hour; a quarter of the way down the curve of 6 h from it, low water 5 h after.
      s.watch.tideTimes = { highWaterMs: START_MS + 3600_000, lowWaterMs: START_MS + 7 * 3600_000 };
    }),
  );
  boat.run(5, 4, 12);
  boat.say("PRDW,LETGO");
  boat.say("PRDW,RODE,30.0,M");
  boat.say("PRDW,BROUGHTUP");
  // One hour before high water with a half period of 6 h: (1 − cos 30°)/2 = 0.067 of the range is to come.
  boat.say("PRDW,RISE,0.3,M");
  boat.run(100, 4, 12);
  // Too near high water for the rise to tell the range: nothing is claimed.
  expect(boat.last().figures.tide.depthAtLowM).toBeUndefined();
  expect(boat.alert("shoal-coming")).toBeUndefined();
});

test("shoal-coming is said when half the range is still to come and low water leaves too little", () => {
  const boat = lyingBoat(
    settingsFor((s) => {
      s.watch.tideTimes = { highWaterMs: START_MS + 3 * 3600_000, lowWaterMs: START_MS - 3 * 3600_000 };
    }),
  );
  boat.run(5, 3, 12);
  boat.say("PRDW,LETGO");
  boat.say("PRDW,RODE,30.0,M");
  boat.say("PRDW,BROUGHTUP");
  // Half tide: a rise of 1.5 m to come is half a range of 3 m, so low water is 1.5 m below now.
  boat.say("PRDW,RISE,1.5,M");
  boat.run(100, 3, 12);
  expect(boat.last().figures.tide.depthAtLowM).toBeCloseTo(1.5, 1);
  // 3.0 − 0.8 of draught − 1.5 = 0.7 m under the keel
  expect(boat.alert("shoal-coming")?.priority).toBe("warning");
  expect(boat.alert("shoal-coming")?.text).toBe("0.7 m under the keel at low water");
});

test("wind and current are one load: a stream raises the equivalent wind and with it the target", () => {
  const boat = lyingBoat(settingsFor());
  boat.run(5, 6, 17);
  boat.say("PRDW,LETGO");
  boat.say("PRDW,RODE,40.0,M");
  boat.say("PRDW,BROUGHTUP");
  boat.run(70, 6, 17);
  expect(boat.last().figures.scope.target).toBe(5);
  const still = boat.last().figures.tackle.equivalentWindMps ?? 0;
  for (let i = 0; i < 3; i++) {
    // Setting the same way as the wind blows, onto the quarter: she lies across it.
    boat.say("VWVDR,100.0,T,,M,1.0,N");
    boat.run(1, 6, 17);
  }
  expect(boat.last().figures.tackle.equivalentWindMps).toBeGreaterThan(still);
  expect(boat.last().figures.scope.target).toBe(7);
});
