/** What the edges report, as findings. */
import { describe, expect, test } from "vitest";
import { factAlert } from "../../src/watch/facts.ts";
import { PHASES, pictured, stateAfter, watchOf } from "./aboard.ts";

test("a fact's key names its alert, before a colon its subject", () => {
  expect(factAlert("log-failing")).toBe("log-failing");
  expect(factAlert("port-down:bus")).toBe("port-down");
  expect(factAlert("unheard")).toBe("unheard");
  for (const other of ["dragging", "port", "", "constructor", "__proto__:x", "toString"])
    expect(factAlert(other)).toBeUndefined();
});

describe("findings", () => {
  const found = (...facts: string[]) => {
    const watch = watchOf(stateAfter("LETGO", ...facts.map((fact) => `FACT,${fact}`)));
    watch.second(1);
    return watch;
  };

  test("each with its priority", () => {
    const watch = found(
      "log-failing,1,disk full",
      "port-down:bus,1,bus",
      "supply-low,1,11.4 V",
      "unheard,1,nobody",
    );
    for (const one of ["warning log-failing", "caution port-down", "warning supply-low", "warning unheard"])
      expect(watch.found()).toContain(one);
  });

  test("several ports down are one alert that names them, as far as there is room", () => {
    const watch = found("port-down:bus,1,bus gone", "port-down:wifi,1,wifi gone");
    expect(watch.textOf("port-down")).toBe("bus gone; wifi gone");
    const many = found(...Array.from({ length: 9 }, (_, i) => `port-down:p${i},1,port ${i} gone`));
    expect(many.textOf("port-down")?.length).toBeLessThanOrEqual(43);
  });

  test("nobody to hear an alarm matters only with an anchor down", () => {
    const watch = watchOf(PHASES.underway()).act(0, "FACT,unheard,1,nobody");
    watch.second(1);
    expect(watch.found()).not.toContain("warning unheard");
  });

  test("a stepped clock is said for 10 minutes", () => {
    const watch = watchOf(PHASES.riding());
    const stepped = { clockSteppedAtMs: pictured(5).atMs };
    watch.second(5, stepped);
    expect(watch.found()).toContain("caution clock-stepped");
    watch.second(5 + 599, stepped);
    expect(watch.found()).toContain("caution clock-stepped");
    watch.second(5 + 600, stepped);
    expect(watch.found()).not.toContain("caution clock-stepped");
  });
});
