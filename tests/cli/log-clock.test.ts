import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type ClockChoice, createLogClock, readClockChoice } from "../../src/cli/log-clock.ts";
import { checksumOf, seal } from "../../src/nmea/seal.ts";
import { formatInstant, parseInstant } from "../../src/units/time.ts";

const ms = (text: string) => parseInstant(text) ?? Number.NaN;
const digits = (text: string, from: number, to: number) => text.slice(from, to);

/** `2026-06-14T23:59:58Z` → the sentence that tells it. */
function rmc(at: string): string {
  const [date = "", time = ""] = at.split("T");
  const day = digits(date, 8, 10) + digits(date, 5, 7) + digits(date, 2, 4);
  return seal(
    `GPRMC,${digits(time.replaceAll(":", ""), 0, 6)},A,5045.612,N,00118.234,W,0.1,214.5,${day},,,A`,
  );
}
const gga = (hhmmss: string) => seal(`GPGGA,${hhmmss},5045.612,N,00118.234,W,1,09,0.9,3.4,M,47.3,M,,`);
const gll = (hhmmss: string) => seal(`GPGLL,5045.612,N,00118.234,W,${hhmmss},A,A`);
const depth = seal("SDDPT,6.3,0.5");
const tagged = (block: string, sentence = depth) => `\\${block}*${checksumOf(block)}\\${sentence}`;

const AUTO: ClockChoice = { kind: "auto" };

/** The time of each line, as text; lines come out in the order in which they went in. */
function times(lines: readonly string[], choice: ClockChoice = AUTO, from?: string): string[] {
  const clock = createLogClock(choice, from === undefined ? undefined : ms(from));
  const stamped = [...lines.flatMap((line) => clock.stamp(line)), ...clock.end()];
  expect(stamped.map((line) => line.text)).toEqual(clock.hasTime() ? lines : []);
  return stamped.map((line) => formatInstant(line.atMs).slice(0, 23));
}

/** Hours and seconds only, for logs of one night. */
const clocks = (lines: readonly string[], choice: ClockChoice = AUTO, from?: string) =>
  times(lines, choice, from).map((text) => text.slice(11).replace("Z", ""));

describe("--clock", () => {
  test("is auto, tag, sentence or lines:N", () => {
    expect(["auto", "tag", "sentence", "lines:10", "lines:0.5"].map(readClockChoice)).toEqual([
      { kind: "auto" },
      { kind: "tag" },
      { kind: "sentence" },
      { kind: "lines", perSecond: 10 },
      { kind: "lines", perSecond: 0.5 },
    ]);
    const none = ["", "Auto", "lines", "lines:", "lines:0", "lines:-1", "lines:ten", "lines:1e3", "tags"];
    expect(none.map(readClockChoice)).toEqual(none.map(() => undefined));
  });
});

const NIGHT = [
  "2026-06-14T22:00:00Z",
  "2026-06-14T22:00:01Z",
  "2026-06-14T22:00:02Z",
  "2026-06-14T22:00:03Z",
];

describe("times in sentences", () => {
  test("a line without time has that of the line before; lines before the first time take the first", () => {
    expect(clocks([depth, depth, rmc(NIGHT[0]!), depth, rmc(NIGHT[1]!), depth, rmc(NIGHT[2]!)])).toEqual([
      "22:00:00",
      "22:00:00",
      "22:00:00",
      "22:00:00",
      "22:00:01",
      "22:00:01",
      "22:00:02",
    ]);
  });

  test("ZDA tells the time too, a void RMC as well", () => {
    const zda = seal("GPZDA,220000.00,14,06,2026,00,00");
    const voidRmc = seal("GPRMC,220001,V,,,,,,,140626,,,N");
    expect(clocks([zda, voidRmc, rmc(NIGHT[2]!)])).toEqual(["22:00:00", "22:00:01", "22:00:02"]);
  });

  test("GGA and GLL only once a date is known, and over midnight into the next day", () => {
    const lines = [
      gga("235957"),
      rmc("2026-06-14T23:59:57Z"),
      rmc("2026-06-14T23:59:58Z"),
      rmc("2026-06-14T23:59:59Z"),
      gll("235959"),
      gga("000000"),
      gll("000001"),
      gga("000002"),
    ];
    expect(times(lines)).toEqual([
      "2026-06-14T23:59:57Z",
      "2026-06-14T23:59:57Z",
      "2026-06-14T23:59:58Z",
      "2026-06-14T23:59:59Z",
      "2026-06-14T23:59:59Z",
      "2026-06-15T00:00:00Z",
      "2026-06-15T00:00:01Z",
      "2026-06-15T00:00:02Z",
    ]);
  });

  test("a GLL that is late over midnight does not jump a day ahead", () => {
    const lines = [
      ...["2026-06-14T23:59:58Z", "2026-06-14T23:59:59Z", "2026-06-15T00:00:00Z"].map(rmc),
      gll("235959"),
    ];
    expect(times(lines).at(-1)).toBe("2026-06-15T00:00:00Z");
  });

  test("without any date there is no time", () => {
    const clock = createLogClock(AUTO, undefined);
    for (const line of [gga("220000"), gll("220001"), depth]) expect(clock.stamp(line)).toEqual([]);
    expect(clock.end()).toEqual([]);
    expect(clock.hasTime()).toBe(false);
  });

  test("a damaged sentence tells no time", () => {
    const damaged = rmc("2026-06-14T23:00:00Z").replace("230000", "230001");
    expect(clocks([rmc(NIGHT[0]!), rmc(NIGHT[1]!), rmc(NIGHT[2]!), damaged]).at(-1)).toBe("22:00:02");
  });

  test("time never goes back: it waits until the sentences are there again", () => {
    const back = [NIGHT[0], NIGHT[1], NIGHT[2], NIGHT[0], NIGHT[1], NIGHT[3]].map((at) => rmc(at ?? ""));
    expect(clocks(back)).toEqual(["22:00:00", "22:00:01", "22:00:02", "22:00:02", "22:00:02", "22:00:03"]);
  });
});

describe("one damaged date does not move the night", () => {
  const far = "2029-01-01T00:00:00Z";
  const night = NIGHT.map(rmc);

  test("in the middle: a step of more than a minute must be told three times in a row", () => {
    expect(clocks([...night.slice(0, 3), rmc(far), night[3]!])).toEqual([
      "22:00:00",
      "22:00:01",
      "22:00:02",
      "22:00:02",
      "22:00:03",
    ]);
  });

  test("two of them neither", () => {
    expect(clocks([...night.slice(0, 3), rmc(far), rmc(far), night[3]!]).at(-1)).toBe("22:00:03");
  });

  test("at the very start, where there is nothing yet to compare it with", () => {
    expect(times([rmc(far), ...night])).toEqual([NIGHT[0], NIGHT[0], NIGHT[1], NIGHT[2], NIGHT[3]]);
  });

  test("a real gap is followed once it has been told three times", () => {
    const later = ["2026-06-15T03:00:00Z", "2026-06-15T03:00:01Z", "2026-06-15T03:00:02Z"];
    expect(times([...night, ...later.map(rmc)]).slice(-3)).toEqual([NIGHT[3], NIGHT[3], later[2]]);
  });

  test("a log of one date only still has a time", () => {
    expect(times([depth, rmc(NIGHT[0]!), depth, gga("220009"), depth])).toEqual([
      NIGHT[0],
      NIGHT[0],
      NIGHT[0],
      "2026-06-14T22:00:09Z",
      "2026-06-14T22:00:09Z",
    ]);
  });

  test("nor does a log wait for ever where dates are rare", () => {
    const clock = createLogClock(AUTO, undefined);
    const rare = [rmc(NIGHT[0]!), ...Array.from({ length: 1500 }, () => gga("220010"))];
    expect(rare.flatMap((line) => clock.stamp(line)).length).toBe(rare.length);
  });
});

describe("TAG blocks", () => {
  const atMs = ms("2026-06-14T22:00:00Z");

  test("in seconds, in milliseconds, with a fraction", () => {
    const lines = [`c:${atMs / 1000}`, `c:${atMs + 1500}`, `s:bus,c:${atMs / 1000 + 2}.25`].map((block) =>
      tagged(block),
    );
    expect(clocks(lines)).toEqual(["22:00:00", "22:00:01.500", "22:00:02.250"]);
  });

  test("auto takes them before the sentences' own time, which may be another", () => {
    const lines = [tagged(`c:${atMs}`, rmc("2026-06-14T21:00:00Z")), rmc("2026-06-14T21:00:09Z")];
    expect(clocks(lines)).toEqual(["22:00:00", "22:00:00"]);
    expect(clocks(lines, { kind: "sentence" })).toEqual(["21:00:00", "21:00:09"]);
  });

  test("a gap in them is believed at once: they are sealed", () => {
    expect(clocks([tagged(`c:${atMs}`), tagged(`c:${atMs + 3_600_000}`)])).toEqual(["22:00:00", "23:00:00"]);
  });

  test("a block with a wrong checksum tells nothing", () => {
    expect(clocks([tagged(`c:${atMs}`), tagged(`c:${atMs + 9000}`).replace("9000*", "8000*")])).toEqual([
      "22:00:00",
      "22:00:00",
    ]);
  });

  test("asked for and not there is no time, whatever the sentences say", () => {
    expect(times([rmc(NIGHT[0]!)], { kind: "tag" })).toEqual([]);
  });
});

describe("lines:N", () => {
  test("counts from --from, whatever the sentences say", () => {
    const lines = [depth, rmc("2020-01-01T00:00:00Z"), depth, depth];
    expect(clocks(lines, { kind: "lines", perSecond: 2 }, NIGHT[0])).toEqual([
      "22:00:00",
      "22:00:00.500",
      "22:00:01",
      "22:00:01.500",
    ]);
  });

  test("or from the first time that is told, TAG or sentence", () => {
    const lines = [depth, rmc(NIGHT[0]!), rmc(NIGHT[0]!), rmc(NIGHT[0]!), depth];
    expect(clocks(lines, { kind: "lines", perSecond: 1 })).toEqual([
      "22:00:00",
      "22:00:00",
      "22:00:01",
      "22:00:02",
      "22:00:03",
    ]);
    expect(clocks([tagged(`c:${ms(NIGHT[0]!)}`), depth], { kind: "lines", perSecond: 1 })).toEqual([
      "22:00:00",
      "22:00:01",
    ]);
  });
});

test("stamps never go back and no line is lost, whatever comes", () => {
  const anyInstant = fc.integer({ min: ms("2001-01-01T00:00:00Z"), max: ms("2079-01-01T00:00:00Z") });
  const whole = anyInstant.map((atMs) => formatInstant(Math.floor(atMs / 1000) * 1000));
  const hhmmss = fc.nat(86_399).map((s) =>
    formatInstant(s * 1000)
      .slice(11, 19)
      .replaceAll(":", ""),
  );
  const near = fc.nat(200).map((s) => formatInstant(ms(NIGHT[0]!) + s * 1000));
  const line = fc.oneof(
    whole.map(rmc),
    near.map(rmc),
    hhmmss.map(gga),
    hhmmss.map(gll),
    anyInstant.map((atMs) => tagged(`c:${atMs}`)),
    fc.constant(depth),
    fc.string(),
  );
  const choice = fc.constantFrom<ClockChoice>(
    AUTO,
    { kind: "tag" },
    { kind: "sentence" },
    { kind: "lines", perSecond: 10 },
  );
  fc.assert(
    fc.property(fc.array(line, { maxLength: 40 }), choice, (lines, kind) => {
      const clock = createLogClock(kind, undefined);
      const stamped = [...lines.flatMap((text) => clock.stamp(text)), ...clock.end()];
      expect(stamped.map(({ text }) => text)).toEqual(clock.hasTime() ? lines : []);
      const stamps = stamped.map(({ atMs }) => atMs);
      expect(stamps).toEqual([...stamps].sort((a, b) => a - b));
    }),
    { numRuns: 200 },
  );
});
