import { describe, expect, test } from "vitest";
import type { BoatState } from "../../src/page/boat-state.ts";
import { strengthLines, tideLines } from "../../src/page/client/tide-lines.ts";
import type { StateGuidance } from "../../src/page/guidance-state.ts";
import { ridingState } from "./stage.ts";

const NO_TIDE: StateGuidance["tide"] = {
  riseM: null,
  riseFrom: null,
  depthAtLowM: null,
  leastAtLowM: null,
  lacks: null,
  suggested: null,
};

function stateWith(
  tide: Partial<StateGuidance["tide"]>,
  strength: StateGuidance["strength"] = { designLoadN: null, weak: [] },
): BoatState {
  const guidance = { tide: { ...NO_TIDE, ...tide }, strength } as unknown as StateGuidance;
  return { ...ridingState(), guidance };
}

const line = (tide: Partial<StateGuidance["tide"]>) => {
  const [found] = tideLines(stateWith(tide), "metric");
  return found && `${found.value} | ${found.note}`;
};
const suggested = { riseM: 0.8, riseSdM: 0.2, fallM: 2, fallSdM: 0.4 };

describe("the tide", () => {
  test("nobody told, nothing seen: no line", () => expect(line({})).toBeUndefined());
  test("what the sounder makes of it is a suggestion", () =>
    expect(line({ suggested })).toBe("rise not told | sounder suggests 0.8 m ± 0.2 m to come"));
  test("unsure, or next to nothing, it is not said", () => {
    expect(line({ suggested: { ...suggested, riseSdM: 0.5 } })).toBeUndefined();
    expect(line({ suggested: { ...suggested, riseM: 0.1, riseSdM: 0.02 } })).toBeUndefined();
  });
  test("beside what was told it is said only where the two differ", () => {
    const told = { riseM: 0.9, riseFrom: "told", suggested } as const;
    expect(line(told)).toBe("0.9 m to come | as told");
    expect(line({ ...told, riseM: 2.1 })).toBe(
      "2.1 m to come | as told; sounder suggests 0.8 m ± 0.2 m to come",
    );
  });
  test("low water in the swing, and what is lacking", () => {
    expect(line({ riseM: 1.24, riseFrom: "table", depthAtLowM: 3.4, leastAtLowM: 2.9 })).toBe(
      "1.2 m to come | by the tide as set; 2.9 m of water at low water",
    );
    expect(line({ lacks: "The tide as set ended" })).toBe("rise not told | The tide as set ended");
  });
});

test("what is too weak for the gusts: one line, with what to do about the windlass", () => {
  expect(strengthLines(stateWith({}))).toEqual([]);
  const weak = [
    { link: "rope", workingN: 3_434 },
    { link: "windlass", workingN: 600 },
  ] as const;
  const [found] = strengthLines(stateWith({}, { designLoadN: 4_100, weak: [...weak] }));
  expect(found?.note).toBe(
    "more than the working load: rope 3.4\u00a0kN, windlass 600\u00a0N; load on a cleat, not the windlass",
  );
  expect(found?.value).toBe("4.1\u00a0kN in the gusts");
});
