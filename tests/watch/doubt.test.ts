/** Sources that disagree, and a low supply, from sentences to findings. */
import { describe, expect, test } from "vitest";
import { coreSettings } from "../../src/config/settings.ts";
import { advance, begin, type Core } from "../../src/core.ts";
import { seal } from "../../src/nmea/seal.ts";

const AT_MS = Date.UTC(2026, 5, 15, 12, 0, 0);
const settings = coreSettings(undefined, { utc: "given", ignoreOperator: false });

function afloat() {
  let core: Core = begin(settings, AT_MS);
  const raised: string[] = [];
  return {
    core: () => core,
    raised,
    /** Seconds in each of which these are heard: `port body`; `%` becomes the time of the second. */
    hears(seconds: number, ...said: string[]) {
      for (let s = 0; s < seconds; s++) {
        const atMs = core.atMs + 500;
        const clock = new Date(core.atMs).toISOString().slice(11, 19).replaceAll(":", "");
        for (const one of said) {
          const [port = "", body = ""] = one.split(" ");
          core = advance(
            core,
            { kind: "line", text: seal(body.replace("%", clock)), port, atMs },
            settings,
          ).core;
        }
        const ticked = advance(core, { kind: "tick", atMs: core.atMs + 1000 }, settings);
        core = ticked.core;
        for (const change of ticked.changes)
          if (change.status !== "normal" && change.statedMs === change.changedMs)
            raised.push(`${change.key} ${change.text}`);
      }
    },
    alert: (key: "position-doubtful" | "supply-low") => core.alerts.active[key],
  };
}

/** `north` metres from 50°45.612′N. */
const fix = (port: string, north: number, talker = "GP", knots = 0.1) =>
  `${port} ${talker}RMC,%.00,A,50${(45.612 + north / 1852).toFixed(4)},N,00118.2340,W,${knots},,150626,,,A`;

describe("two position sources", () => {
  test("45 m apart and less is what two sound receivers may differ by", () => {
    const boat = afloat();
    boat.hears(120, fix("bus", 0), fix("net", 44));
    expect(boat.alert("position-doubtful")).toBeUndefined();
  });

  test("farther apart for 30 s is doubtful, named with distance and ports, and over after a minute of agreement", () => {
    const boat = afloat();
    boat.hears(10, fix("bus", 0), fix("net", 0));
    boat.hears(30, fix("bus", 0), fix("net", 80));
    expect(boat.alert("position-doubtful")).toBeUndefined();
    boat.hears(1, fix("bus", 0), fix("net", 80));
    expect(boat.alert("position-doubtful")).toMatchObject({
      text: "80 m apart: bus, net",
      priority: "caution",
    });
    boat.hears(60, fix("bus", 0), fix("net", 0));
    expect(boat.alert("position-doubtful")).toBeDefined();
    boat.hears(2, fix("bus", 0), fix("net", 0));
    expect(boat.alert("position-doubtful")).toBeUndefined();
    expect(boat.raised.filter((one) => one.startsWith("position-doubtful"))).toHaveLength(1);
  });

  test("two talkers of one port as well; a source that has fallen silent disagrees with nobody", () => {
    const boat = afloat();
    boat.hears(40, fix("bus", 0), fix("bus", 100, "GQ"));
    expect(boat.alert("position-doubtful")?.text).toBe("100 m apart: bus/GP, bus/GQ");
    boat.hears(80, fix("bus", 0));
    expect(boat.alert("position-doubtful")).toBeUndefined();
  });

  test("one that is a second late on a fast boat does not disagree", () => {
    const boat = afloat();
    for (let s = 0; s < 90; s++)
      boat.hears(1, fix("bus", 15 * s, "GP", 29.2), fix("net", 15 * (s - 1), "GP", 29.2));
    expect(boat.raised.filter((one) => one.startsWith("position-doubtful"))).toEqual([]);
  });
});

describe("supply", () => {
  const volts = (...values: number[]) => `bus IIXDR,${values.map((v, i) => `U,${v},V,BATT${i}`).join(",")}`;

  test("below 11.8 V for a minute, back only well above, and a windlass' dip is none", () => {
    const boat = afloat();
    boat.hears(30, volts(12.6));
    boat.hears(40, volts(10.9));
    boat.hears(5, volts(12.6));
    boat.hears(61, volts(11.7));
    expect(boat.alert("supply-low")).toMatchObject({
      priority: "warning",
      text: "11.7 V: charge, or save power",
    });
    boat.hears(120, volts(12.1));
    expect(boat.alert("supply-low")?.status).toBe("unacknowledged");
    boat.hears(62, volts(12.3));
    expect(boat.alert("supply-low")?.status).toBe("rectified");
    expect(boat.raised.filter((one) => one.startsWith("supply-low"))[0]).toContain("11.7 V");
  });

  test("of several batteries the lowest, whichever stands last", () => {
    const boat = afloat();
    boat.hears(62, volts(11.2, 12.8));
    expect(boat.core().last.picture.supplyV?.value).toBe(11.2);
    boat.hears(1, `${volts(12.7)}`, volts(11.1));
    expect(boat.core().last.picture.supplyV?.value).toBe(11.1);
  });

  test("nothing heard is nothing known", () => {
    const boat = afloat();
    boat.hears(200, "bus IIXDR,D,35.0,M,RODE");
    expect(boat.core().last.picture.supplyV).toBeUndefined();
    expect(boat.alert("supply-low")).toBeUndefined();
  });
});
