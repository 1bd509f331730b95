import { describe, expect, test } from "vitest";
import { lineAboard, lineLengthM, type Rode, veered } from "../../src/tackle/rode.ts";

const rode: Rode = {
  chainM: 8,
  chainDiameterM: 0.008,
  ropeM: 60,
  ropeDiameterM: 0.014,
  ropeKind: "nylon-three-strand",
};

function aboard(changes: Partial<Rode> = {}) {
  const line = lineAboard({ ...rode, ...changes });
  if (line === undefined) throw new Error("no line");
  return line;
}

describe("what is out", () => {
  test.each([
    [0, 0, 0],
    [5, 5, 0],
    [8, 8, 0],
    [20, 8, 12],
    [68, 8, 60],
    [100, 8, 92],
  ])("%d m veered: %d m chain, %d m rope", (outM, chainM, ropeM) => {
    const out = veered(aboard(), outM);
    expect([out.chain.lengthM, out.rope.lengthM]).toEqual([chainM, ropeM]);
  });

  test("all chain goes on as chain", () => {
    const out = veered(aboard({ ropeM: 0 }), 30);
    expect([out.chain.lengthM, out.rope.lengthM]).toEqual([30, 0]);
  });

  test("all rope", () => {
    const out = veered(aboard({ chainM: 0 }), 30);
    expect([out.chain.lengthM, out.rope.lengthM]).toEqual([0, 30]);
  });

  test("no rode at all stays none", () => {
    expect(lineLengthM(veered(aboard({ chainM: 0, ropeM: 0 }), 30))).toBe(0);
  });
});

test("a part whose size or kind is unknown has no weight to reckon with; a part of no length needs none", () => {
  expect(lineAboard({ ...rode, chainDiameterM: undefined })).toBeUndefined();
  expect(lineAboard({ ...rode, ropeKind: undefined })).toBeUndefined();
  expect(lineAboard({ ...rode, ropeDiameterM: undefined })).toBeUndefined();
  expect(lineAboard({ ...rode, chainM: 0, chainDiameterM: undefined })).toBeDefined();
  expect(lineAboard({ ...rode, ropeM: 0, ropeDiameterM: undefined, ropeKind: undefined })).toBeDefined();
});
