import { describe, expect, test } from "vitest";
import { checksumOf } from "../../src/nmea/seal.ts";
import { type Played, played, RECORDINGS } from "./recorded.ts";

/** Each log is played once; goldens and the tests of what happened look at the same replay. */
const plays = new Map<string, Promise<Played>>();

function playOf(name: string): Promise<Played> {
  const recording = RECORDINGS.find((one) => one.name === name);
  if (recording === undefined) throw new Error(`no recording "${name}"`);
  const play = plays.get(name) ?? played(recording);
  plays.set(name, play);
  return play;
}

/** Written anew by `npm run golden`; a changed golden is committed with the change that made it, and says why. */
const goldenOf = (name: string, part: string) => `../../fixtures/goldens/${name}.${part}`;

describe.each(RECORDINGS)("$name", ({ name }) => {
  test("gives the summary and the alert sentences it gave before", async () => {
    const { summary, alertLines } = await playOf(name);
    await expect(`${JSON.stringify(summary, null, 2)}\n`).toMatchFileSnapshot(goldenOf(name, "summary.json"));
    await expect(alertLines).toMatchFileSnapshot(goldenOf(name, "alerts.txt"));
  });

  test("sends sound sentences only, and its time never goes back", async () => {
    const { out } = await playOf(name);
    expect(out.length).toBeGreaterThan(0);
    const unsound = out.filter(({ sentence }) => {
      const [, body = "", sum] = /^\$([^*]*)\*([0-9A-F]{2})$/.exec(sentence) ?? [];
      return checksumOf(body) !== sum || sentence.length + 2 > 82;
    });
    expect(unsound).toEqual([]);
    const times = out.map(({ atMs }) => atMs);
    expect(times).toEqual([...times].sort((a, b) => a - b));
  });
});

/** Alerts of a replay, by key, with times as ms. */
async function alertsOf(name: string) {
  const { summary } = await playOf(name);
  const ms = (text: string | null) => (text === null ? Number.POSITIVE_INFINITY : Date.parse(text));
  const alerts = summary.alerts.map((a) => ({
    ...a,
    raised: ms(a.raisedAt),
    alarm: ms(a.alarmAt),
    cleared: ms(a.clearedAt),
  }));
  return { alerts, fromMs: ms(summary.from), of: (key: string) => alerts.filter((a) => a.key === key) };
}

const SECOND = 1000;
/** Ten lines a second. */
const LINE = SECOND / 10;

describe("what happened, by fixtures/logs/SOURCES.md", () => {
  test("a hung fix is a lost position: a warning after 10 s, an alarm after 60 s, until it moves again", async () => {
    const { fromMs, of, alerts } = await alertsOf("moored-geneva-2014-06-26-frozen-fix.on-watch");
    // The fix of line 1906 is repeated to line 22 238; 1100 lines are left out here.
    const hungMs = fromMs + (1906 - 1100) * LINE;
    const freeMs = fromMs + (22_238 - 1100) * LINE;
    const lost = of("position-lost");
    expect(lost).toHaveLength(1);
    expect((lost[0]?.raised ?? 0) - hungMs).toBeGreaterThanOrEqual(9 * SECOND);
    expect((lost[0]?.raised ?? 0) - hungMs).toBeLessThanOrEqual(12 * SECOND);
    expect((lost[0]?.alarm ?? 0) - hungMs).toBeLessThanOrEqual(62 * SECOND);
    expect(lost[0]?.cleared).toBeGreaterThan(freeMs);
    // Blind, it claims neither that she drags nor that she has left.
    const claimed = alerts.filter((a) => ["dragging", "outside-circle"].includes(a.key));
    expect(claimed.filter((a) => a.raised < freeMs)).toEqual([]);
  });

  test("first fixes that slide 180 m with status A are held back and said", async () => {
    const { of, fromMs } = await alertsOf("moored-geneva-2014-06-26-frozen-fix");
    expect(of("position-doubtful")[0]?.raised).toBeLessThan(fromMs + 15 * SECOND);
  });

  test("a torn clock does not tear the night: 30 829 lines at ten a second", async () => {
    const { summary } = await playOf("moored-geneva-2014-07-22-vwr");
    const seconds = (Date.parse(summary.to ?? "") - Date.parse(summary.from ?? "")) / SECOND;
    expect(Math.abs(seconds - 30_829 / 10)).toBeLessThan(10);
  });

  test("she lies still to line 12 987 and then sails: no alarm before, out of the circle after", async () => {
    const { of, alerts, fromMs } = await alertsOf("moored-geneva-2014-07-22-vwr");
    const sailsMs = fromMs + 12_987 * LINE;
    expect(alerts.filter((a) => a.alarm < sailsMs)).toEqual([]);
    expect(of("position-lost")[0]?.alarm ?? 0).toBeLessThan(sailsMs + 120 * SECOND);
    expect(of("outside-circle")).toHaveLength(1);
    expect(of("outside-circle")[0]?.raised).toBeGreaterThan(sailsMs);
  });

  test("28 minutes alongside without an alarm; leaving unannounced at 16:30:43 is one", async () => {
    const { of, alerts } = await alertsOf("moored-geneva-2014-08-19-departure");
    // Line 15 119: the engine starts and the sounder loses the bottom. At 16:32:16 she is 60 m from her place.
    expect(alerts.filter((a) => a.alarm < Date.parse("2014-08-19T16:30:36Z"))).toEqual([]);
    // No living velocity below 1 kn: the drag is told from positions alone, 40 s at least.
    expect(of("dragging")[0]?.alarm).toBeLessThan(Date.parse("2014-08-19T16:33:00Z"));
    expect(of("outside-circle")[0]?.alarm).toBeLessThan(Date.parse("2014-08-19T16:33:15Z"));
  });

  test("frozen checksums: all but the lucky are refused, and no anchor is let go without a fix", async () => {
    const { summary, err } = await playOf("race-flensburg-2013-07-31-frozen-checksums");
    expect(summary.lines).toBe(14_054);
    expect(summary.refused["bad-checksum"]).toBe(13_396);
    expect(summary.anchor).toBeNull();
    expect(err.join("\n")).toContain("no fix from that time on, so no anchor was let go");
  });

  test("alongside at the end of the race: neither drags nor leaves her circle", async () => {
    const { alerts } = await alertsOf("race-flensburg-2013-08-03");
    expect(alerts.filter((a) => a.alarm > Date.parse("2013-08-03T13:52:00Z") && a.alarmAt !== null)).toEqual(
      [],
    );
  });

  test("garbage with a right checksum is refused; alongside she neither drags nor leaves her circle", async () => {
    const { of } = await alertsOf("race-leman-2008-05-21-garbage");
    const { summary } = await playOf("race-leman-2008-05-21-garbage");
    expect(summary.refused).toEqual({ "bad-character": 4 });
    expect([...of("dragging"), ...of("outside-circle")]).toEqual([]);
    // 1.6 to 1.7 m from the transducer, offset -1.0 m to the keel, for the last four minutes.
    expect(of("shoal").at(-1)?.clearedAt).toBeNull();
  });

  test("20 void fixes on watch: no position after 10 s, and not called back before it is steady", async () => {
    const { of } = await alertsOf("gpsd-gnss-rmc-only-bad-course");
    const [lost] = of("position-lost");
    // 23 valid ones from 22:09:52 on; the 20 void ones end at 22:10:34.
    expect(lost?.raised).toBeGreaterThanOrEqual(Date.parse("2023-12-18T22:10:24Z"));
    expect(lost?.raised).toBeLessThanOrEqual(Date.parse("2023-12-18T22:10:27Z"));
    expect(lost?.clearedAt).toBeNull();
  });

  test("a receiver without a fix is said once", async () => {
    const { of } = await alertsOf("gpsd-heading-receiver-no-fix");
    expect(of("position-lost")).toHaveLength(1);
  });

  test("depth and position only, the least boat: scope is known, nothing is nagged for", async () => {
    const { summary } = await playOf("gpsd-sounder-dbt");
    expect(summary.conditions.scope.min).toBeGreaterThan(5);
    expect(summary.conditions.windKn).toEqual({ mean: null, gust: null });
    expect(summary.alerts.filter((a) => a.priority !== "caution")).toEqual([]);
  });
});
