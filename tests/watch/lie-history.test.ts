import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { emptyRing, lieOver, pushBin } from "../../src/watch/lie-history.ts";

const bin = fc.record({
  seconds: fc.constant(5),
  excess: fc.double({ min: -300, max: 900, noNaN: true }),
  north: fc.double({ min: -5, max: 5, noNaN: true }),
  east: fc.double({ min: -5, max: 5, noNaN: true }),
  stretch: fc.double({ min: 0, max: 40, noNaN: true }),
  way: fc.double({ min: -20, max: 20, noNaN: true }),
  loaded: fc.integer({ min: 0, max: 5 }),
});

describe("the history of how she lay", () => {
  it("gives the mean over any window that is still there, as adding up would", () => {
    fc.assert(
      fc.property(
        fc.array(bin, { minLength: 1, maxLength: 120 }),
        fc.integer({ min: 1, max: 40 }),
        fc.integer({ min: 1, max: 40 }),
        (bins, length, back) => {
          const ring = emptyRing(5, 50);
          for (const one of bins) pushBin(ring, one);
          const wanted = bins.slice(bins.length - back - length, bins.length - back);
          const mean = lieOver(ring, length, back);
          if (bins.length - back - length < 1 || length + back >= 50) {
            expect(mean).toBeUndefined();
            return;
          }
          const sum = wanted.reduce((total, one) => total + one.excess, 0);
          expect(mean?.excessM).toBeCloseTo(sum / (5 * length), 2);
          const stretched = wanted.reduce((total, one) => total + one.stretch, 0);
          expect(mean?.stretchM).toBeCloseTo(stretched / (5 * length), 2);
          expect(mean?.wayM).toBeCloseTo(
            wanted.reduce((total, one) => total + one.way, 0),
            1,
          );
        },
      ),
    );
  });

  it("says nothing of a window with less than half its fixes", () => {
    const ring = emptyRing(5, 50);
    const full = { seconds: 5, excess: 10, north: 5, east: 0, stretch: 2, way: 0, loaded: 5 };
    const none = { seconds: 0, excess: 0, north: 0, east: 0, stretch: 0, way: 0, loaded: 0 };
    for (let i = 0; i < 10; i++) pushBin(ring, i < 4 ? full : none);
    expect(lieOver(ring, 8, 0)).toBeUndefined();
    expect(lieOver(ring, 3, 6)?.excessM).toBeCloseTo(2, 6);
  });

  it("stays the same size for ever", () => {
    const ring = emptyRing(40, 190);
    const one = { seconds: 40, excess: 37 * 40, north: 40, east: 0, stretch: 2, way: 3, loaded: 40 };
    for (let i = 0; i < 5000; i++) pushBin(ring, one);
    expect(JSON.stringify(ring).length).toBeLessThan(20_000);
  });
});
