import { expect, test } from "vitest";
import { weakLinks } from "../../src/tackle/weak-links.ts";

const RODE = {
  chainM: 8,
  chainDiameterM: 0.008,
  ropeM: 60,
  ropeDiameterM: 0.014,
  ropeKind: "nylon-three-strand",
} as const;

test("8 mm chain breaks at 32 kN (DIN 766 trade table) and works at a quarter: 8 kN", () => {
  expect(weakLinks(RODE, undefined, 7_900).filter(({ link }) => link === "chain")).toEqual([]);
  expect(weakLinks(RODE, undefined, 8_100).find(({ link }) => link === "chain")?.workingN).toBeCloseTo(
    8_000,
    -2,
  );
});

test("the windlass by its plate; what has no size, or is not there, is passed over", () => {
  expect(weakLinks(RODE, 600, 601)).toEqual([{ link: "windlass", workingN: 600 }]);
  expect(weakLinks(RODE, 600, 599)).toEqual([]);
  expect(weakLinks({ ...RODE, chainM: 0, ropeDiameterM: undefined }, undefined, 1e6)).toEqual([]);
  expect(weakLinks(undefined, undefined, 1e6)).toEqual([]);
});
