import { describe, expect, test } from "vitest";
import { IN_USE, setInUse, UNSET } from "../../src/config/in-use.ts";
import { jsonSchema } from "../../src/config/json-schema.ts";
import { readConfig } from "../../src/config/read.ts";
import type { Config } from "../../src/config/schema.ts";
import { settingText } from "../../src/config/setting-text.ts";
import { coreSettings } from "../../src/config/settings.ts";

function boat(more = ""): Config {
  const read = readConfig(`${more}\n[rode]\nchain = "8 m"\nrope = "60 m"\n`);
  if (!read.ok) throw new Error(read.problems.join("\n"));
  return read.config;
}

function problem(values: Record<string, string>): string {
  const set = setInUse(boat(), values);
  return set.ok ? "taken" : `${set.reason} ${set.key}: ${set.problem}`;
}

describe("set in use", () => {
  test("every key takes its own example, and comes out as it went in", () => {
    for (const key of IN_USE) {
      const [section = "", name = ""] = key.split(".");
      const node = jsonSchema().properties?.[section]?.properties?.[name] ?? {};
      const example = String(node.examples?.[0]);
      // A height says nothing without its time: all four of a tide together.
      const tide = { "tide.high_water": "2026-06-15T04:40Z", "tide.low_water": "2026-06-15T10:50Z" };
      const heights = { ...tide, "tide.high_water_height": "5.2 m", "tide.low_water_height": "1.2 m" };
      const set = setInUse(boat(), { ...(key.endsWith("height") ? heights : {}), [key]: example });
      if (!set.ok) throw new Error(`${key}: ${set.problem}`);
      const value = Object.entries(set.config[section as "watch"]).find(([one]) => one === name)?.[1];
      const text = settingText(value, node) ?? "";
      expect(text.replace(":00Z", "Z").replace(".000", "")).toBe(example);
    }
  });

  test("the checks are the schema's: units, ranges, contradictions, and nothing beyond the list", () => {
    expect(problem({ "watch.margin": "20" })).toBe(
      'range watch.margin: "20" has no unit: did you mean "20 m" or "20 ft"?',
    );
    expect(problem({ "watch.margin": "-3 m" })).toMatch(/^range watch.margin: "-3 m" is too small/);
    expect(problem({ "watch.wind_limit": "30 kn" })).toBe(
      "range watch.wind_limit: watch.gust_limit: 28 kn is below wind_limit, 30 kn; the limit for gusts is the higher of the two",
    );
    expect(problem({ "watch.wind_limit": "30 kn", "watch.gust_limit": "35 kn" })).toBe("taken");
    expect(problem({ "scope.least": "9" })).toMatch(/above the ratio wanted in light wind/);
    expect(problem({ "page.units": "cubits" })).toMatch(/^range page.units: "cubits" found; one of /);
    expect(problem({ "boat.length": "20 m" })).toBe('format boat.length: "boat.length" is not set in use');
    expect(problem({ "watch.constructor": "1" })).toMatch(/^format /);
  });

  test("unset goes only where nothing need be", () => {
    const set = setInUse(boat('[tide]\nrise = "1 m"'), { "tide.rise": UNSET });
    expect(set.ok && "rise" in set.config.tide).toBe(false);
    expect(problem({ "watch.margin": UNSET })).toBe("range watch.margin: cannot be left unset");
  });

  test("the core is given the watch's settings, and leaves its own alone", () => {
    const settings = coreSettings(boat(), { utc: "given", ignoreOperator: false });
    const set = settings.inUse({ "watch.margin": "40 ft", "watch.stay": "attended" });
    expect(set).toMatchObject({ stay: "attended", leastScope: 2 });
    expect(typeof set === "string" ? 0 : set.marginM).toBeCloseTo(12.192, 9); // 1 ft = 0.3048 m exactly
    expect(settings.watch.marginM).toBe(15);
  });
});
