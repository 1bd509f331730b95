/** What displays are told besides alerts. Strings were sealed by a program of their own. */
import { describe, expect, test } from "vitest";
import { type Bulletin, bulletinFor, NO_BULLETIN } from "../../src/alerts/bulletin.ts";
import { encode } from "../../src/nmea/table.ts";
import { AT_MS } from "./alerts-aboard.ts";

const lying: Bulletin = {
  anchor: { latDeg: 50 + 45.631 / 60, lonDeg: -(1 + 18.209 / 60) },
  down: true,
  rangeM: 45.883336,
  bearingDeg: 39.84711,
  variationDeg: -1.1,
  utcOffsetMs: 0,
  rodeRequiredM: 42.5,
  scope: 5.2,
  pullDeg: 6.1,
};

const told = (now: Partial<Bulletin> = {}) =>
  bulletinFor(NO_BULLETIN, { ...lying, ...now }, AT_MS).told.map(({ sentence }) => encode(sentence));

describe("in one second", () => {
  test("the anchor as waypoint, bearing and distance to it, and the rode", () => {
    expect(told()).toEqual([
      "$IIWPL,5045.6310,N,00118.2090,W,ANCHOR*54",
      "$IIBWC,123519.00,5045.6310,N,00118.2090,W,039.8,T,040.9,M,0.025,N,ANCHOR,A*5A",
      "$IIXDR,D,42.5,M,RODEREQ,G,5.2,,SCOPE,A,6.1,D,PULL*0D",
    ]);
  });

  test("what is not known is left empty or out", () => {
    expect(
      told({ variationDeg: undefined, utcOffsetMs: undefined, scope: undefined, pullDeg: undefined }),
    ).toEqual([
      "$IIWPL,5045.6310,N,00118.2090,W,ANCHOR*54",
      expect.stringMatching(/^\$IIBWC,,5045\.6310,N,00118\.2090,W,039\.8,T,,M,0\.025,N,ANCHOR,A\*/),
      expect.stringMatching(/^\$IIXDR,D,42\.5,M,RODEREQ\*/),
    ]);
    expect(told({ rangeM: undefined, bearingDeg: undefined })).toHaveLength(2);
    expect(told({ rodeRequiredM: undefined, scope: undefined, pullDeg: undefined })).toHaveLength(2);
  });

  test("under way nothing; a slipped rode's place alone", () => {
    expect(told({ anchor: undefined, down: false })).toEqual([]);
    expect(told({ down: false })).toHaveLength(1);
  });

  test.each([1e3, 1e6, 2e7])("a distance of %d m can be written, or is not told", (rangeM) => {
    for (const text of told({ rangeM })) expect(text.length + 2).toBeLessThanOrEqual(82);
  });
});

test("WPL when it moves and every minute, BWC every 5 s, XDR every 10 s", () => {
  let state = NO_BULLETIN;
  const times: Record<string, number[]> = { WPL: [], BWC: [], XDR: [] };
  for (let s = 1; s <= 130; s++) {
    const anchor = { latDeg: s < 30 ? 50.7605 : 50.7606, lonDeg: -1.304 };
    const next = bulletinFor(state, { ...lying, anchor }, AT_MS + s * 1000);
    state = next.state;
    for (const { sentence } of next.told) times[sentence.id]?.push(s);
  }
  expect(times.WPL).toEqual([1, 30, 90]);
  expect(times.BWC?.slice(0, 4)).toEqual([1, 6, 11, 16]);
  expect(times.XDR?.slice(0, 4)).toEqual([1, 11, 21, 31]);
});
