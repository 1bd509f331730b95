import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { boxAt, crosses, type Label, type Measure, overlap, placed } from "../../src/page/client/labels.ts";

/** Every letter 7 wide, 12 up and 4 down. */
const measure: Measure = {
  widthOf: (_, text) => text.length * 7,
  heightOf: () => ({ up: 12, down: 4 }),
};
const BOUNDS = { left: 0, top: 0, right: 400, bottom: 300 };
const CLEAR = { lines: [], boxes: [], dots: [] };

function label(id: string, importance: number, texts: string[], ...at: [number, number][]): Label {
  return { id, type: "lab", importance, texts, spots: at.map(([x, y]) => ({ x, y, align: "start" })) };
}

describe("placing labels", () => {
  test("the first spot that is free", () => {
    const line = [
      { x: 0, y: 50 },
      { x: 400, y: 50 },
    ];
    const [only] = placed(
      [label("a", 1, ["depth"], [10, 52], [10, 80])],
      { ...CLEAR, lines: [line] },
      BOUNDS,
      measure,
    );
    expect(only).toMatchObject({ id: "a", y: 80 });
  });

  test("a shorter text where the full one finds no room", () => {
    const [only] = placed(
      [label("a", 1, ["wind 13 kn, south-west", "13 kn"], [320, 50])],
      CLEAR,
      BOUNDS,
      measure,
    );
    expect(only?.text).toBe("13 kn");
  });

  test("the least important is dropped", () => {
    const labels = [label("little", 1, ["aaa"], [10, 50]), label("much", 9, ["bbb"], [12, 52])];
    expect(placed(labels, CLEAR, BOUNDS, measure).map(({ id }) => id)).toEqual(["much"]);
  });

  test("dots are avoided where there is another spot, and covered where there is none", () => {
    const dots = Array.from({ length: 20 }, (_, i) => ({ x: 10 + i, y: 45 }));
    const both = placed([label("a", 1, ["abc"], [10, 50], [10, 150])], { ...CLEAR, dots }, BOUNDS, measure);
    const one = placed([label("a", 1, ["abc"], [10, 50])], { ...CLEAR, dots }, BOUNDS, measure);
    expect([both[0]?.y, one[0]?.y]).toEqual([150, 50]);
  });

  test("none lies over another or over a line, and none leaves the drawing", () => {
    const at = fc.tuple(fc.integer({ min: -20, max: 420 }), fc.integer({ min: -20, max: 320 }));
    const one = fc.record({
      texts: fc.array(fc.string({ minLength: 1, maxLength: 25 }), { minLength: 1, maxLength: 3 }),
      spots: fc.array(at, { minLength: 1, maxLength: 6 }),
      importance: fc.integer({ min: 1, max: 9 }),
    });
    const line = fc.array(at, { minLength: 2, maxLength: 5 });
    fc.assert(
      fc.property(fc.array(one, { maxLength: 10 }), fc.array(line, { maxLength: 4 }), (many, rows) => {
        const lines = rows.map((row) => row.map(([x, y]) => ({ x, y })));
        const labels = many.map((each, i) => label(`l${i}`, each.importance, each.texts, ...each.spots));
        const done = placed(labels, { ...CLEAR, lines }, BOUNDS, measure);
        for (const [i, { box, x, y, align, type, text }] of done.entries()) {
          expect(boxAt({ x, y, align }, type, text, measure)).toEqual(box);
          expect(done.slice(i + 1).some((other) => overlap(box, other.box))).toBe(false);
          expect(lines.some((row) => crosses(row, box))).toBe(false);
          expect(box.left >= 0 && box.right <= 400 && box.top >= 0 && box.bottom <= 300).toBe(true);
        }
      }),
      { numRuns: 300 },
    );
  });

  test("a line through a box is seen, one past its corner is not", () => {
    const box = { left: 10, top: 10, right: 20, bottom: 20 };
    expect(
      crosses(
        [
          { x: 0, y: 15 },
          { x: 30, y: 15 },
        ],
        box,
      ),
    ).toBe(true);
    expect(
      crosses(
        [
          { x: 15, y: 12 },
          { x: 16, y: 13 },
        ],
        box,
      ),
    ).toBe(true);
    expect(
      crosses(
        [
          { x: 0, y: 0 },
          { x: 30, y: 5 },
        ],
        box,
      ),
    ).toBe(false);
    expect(
      crosses(
        [
          { x: 0, y: 18 },
          { x: 12, y: 30 },
        ],
        box,
      ),
    ).toBe(false);
  });
});
