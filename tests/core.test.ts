/** What holds for the whole pure path, whatever comes in. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type Core, type Input, resume, savedFrom } from "../src/core.ts";
import { seal } from "../src/nmea/seal.ts";
import { vectorOf } from "../src/units/angle.ts";
import { distanceM, moved } from "../src/units/position.ts";
import { circleNow, HARD_WANDER_M } from "../src/watch/circle.ts";
import { act, line, run, second, tick } from "./core-run.ts";
import { ANCHORAGE, EVENING_MS, rmc } from "./instruments/aboard.ts";
import { CORE } from "./watch/night.ts";

/** Long enough after the silence for a lost position to be an alarm. */
const END_S = 168;

/** A short restless stay: she falls back, lies, drifts out of her circle at 2 m/s, and everything falls silent. */
function restless(choice: { towardDeg: number; depthM: number; windKn: number }): Input[][] {
  const seconds: Input[][] = [];
  for (let s = 1; s <= 110; s++) {
    const awayM = Math.min(s, 30) + Math.max(0, s - 45) * 2;
    const by = vectorOf(awayM, choice.towardDeg);
    const silent = s > 105;
    const texts = silent
      ? []
      : [
          rmc(s, { northM: by.north, eastM: by.east, sogKn: 1 }),
          seal(`HEHDT,${((choice.towardDeg + 180 + (s % 40)) % 360).toFixed(1)},T`),
          seal(`SDDBT,,f,${(choice.depthM + (s % 7) * 0.05).toFixed(2)},M,,F`),
          seal(`WIMWV,${(s % 20).toFixed(1)},R,${(choice.windKn + (s % 5)).toFixed(1)},N,A`),
          seal(`WIMWV,${(340 + (s % 20)).toFixed(1)},R,${choice.windKn.toFixed(1)},N,A`),
        ];
    const inputs = second(s, texts);
    if (s === 3) inputs.push(act(s, "LETGO"), act(s, "RODE,30.0,M"));
    if (s === 40) inputs.push(act(s, "BROUGHTUP"));
    if (s === 100) inputs.push(line(EVENING_MS + s * 1000, "$IIACN,,,0,0,Q,C*5E", "wheel"));
    seconds.push(inputs);
  }
  return [...seconds, [tick(END_S)]];
}

const stays = fc
  .record({
    towardDeg: fc.integer({ min: 0, max: 359 }),
    depthM: fc.double({ min: 1.2, max: 9, noNaN: true }),
    windKn: fc.double({ min: 0, max: 30, noNaN: true }),
  })
  .map(restless);

/** Few and short: the seconds of a stay are dear. */
const SHORT = { numRuns: 4 };

/** A core as one text, whatever the order in which its parts were made. */
function asText(core: Core): string {
  const sorted = (_: string, value: unknown): unknown =>
    typeof value === "object" && value !== null && !Array.isArray(value)
      ? Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)))
      : value;
  return JSON.stringify(core, sorted);
}

test("the stay that these properties try does alarm", () => {
  const { alerts } = run(restless({ towardDeg: 200, depthM: 5, windKn: 12 }).flat());
  const alarmed = new Set(alerts.filter((one) => one.includes(" alarm ")).map((one) => one.split(" ")[1]));
  expect([...alarmed]).toEqual(expect.arrayContaining(["outside-circle", "position-lost"]));
});

describe("time", () => {
  test("extra ticks change nothing", () => {
    fc.assert(
      fc.property(
        stays,
        fc.array(fc.integer({ min: 0, max: END_S * 1000 }), { maxLength: 60 }),
        (stay, ticks) => {
          const inputs = stay.flat();
          const extra: Input[] = ticks.map((afterMs) => ({ kind: "tick", atMs: EVENING_MS + afterMs }));
          // Stable: a tick never comes before a line of its own instant, nor a line before its turn.
          const mixed = [...inputs, ...extra].sort((a, b) => a.atMs - b.atMs);
          const [plain, ticked] = [run(inputs), run(mixed)];
          expect(ticked.alerts).toEqual(plain.alerts);
          expect(ticked.out).toEqual(plain.out);
          expect(asText(ticked.core) === asText(plain.core)).toBe(true);
        },
      ),
      SHORT,
    );
  });

  test("half an hour of silence is walked; of a gap over an hour two minutes, in which everything lost is said", () => {
    const stay = restless({ towardDeg: 200, depthM: 5, windKn: 12 }).slice(0, 60).flat();
    const lost = (gapS: number) => {
      const { core, alerts } = run([...stay, tick(60 + gapS)]);
      expect(core.atMs).toBe(EVENING_MS + (60 + gapS) * 1000);
      return alerts.filter((one) => one.includes("position-lost"));
    };
    const walked = lost(1800);
    expect(walked.length).toBeGreaterThan(20); // repeated every minute
    expect(lost(7200)).toEqual(walked.slice(0, 2)); // lost, and an alarm
  });

  test("stamps never go back", () => {
    const { core } = run([tick(10), line(EVENING_MS + 2000, rmc(2)), tick(5), tick(11)]);
    expect(core.atMs).toBe(EVENING_MS + 11_000);
    expect(core.last.picture.position?.atMs).toBe(EVENING_MS + 11_000);
  });
});

test("lines of one second, repeated or in another order, give the same alerts and sentences", () => {
  fc.assert(
    fc.property(stays, fc.infiniteStream(fc.nat()), (stay, chance) => {
      const next = () => chance.next().value ?? 0;
      const shuffled = stay.map((inputs) => {
        const heard = inputs.filter((one) => one.kind === "line" && one.port === "bus");
        const rest = inputs.filter((one) => !heard.includes(one));
        const twice = heard.flatMap((one) => (next() % 3 === 0 ? [one, one] : [one]));
        const stamps = twice.map((one) => one.atMs).sort((a, b) => a - b);
        const order = twice.map((one) => [next(), one] as const).sort(([a], [b]) => a - b);
        return [...order.map(([, one], i) => ({ ...one, atMs: stamps[i] ?? one.atMs })), ...rest];
      });
      const [plain, mixed] = [run(stay.flat()), run(shuffled.flat())];
      expect(mixed.alerts).toEqual(plain.alerts);
      expect(mixed.out).toEqual(plain.out);
    }),
    SHORT,
  );
});

describe("saved", () => {
  test("as JSON, restored, it goes on as if nothing had been; played twice, it is the same", () => {
    fc.assert(
      fc.property(stays, fc.integer({ min: 1, max: 520 }), (stay, cut) => {
        const inputs = stay.flat();
        const whole = run(inputs);
        const first = run(inputs.slice(0, cut));
        const rest = run(inputs.slice(cut), JSON.parse(JSON.stringify(first.core)));
        expect([...first.out, ...rest.out]).toEqual(whole.out);
        expect([...first.alerts, ...rest.alerts]).toEqual(whole.alerts);
        expect(asText(rest.core) === asText(whole.core)).toBe(true);
        expect(run(inputs).out).toEqual(whole.out);
      }),
      SHORT,
    );
  });

  test("a restart resumes the watch: the same anchor, everything active announced again", () => {
    const before = run(restless({ towardDeg: 200, depthM: 5, windKn: 12 }).slice(0, 105).flat());
    const acknowledged = run([line(EVENING_MS + 105_000, "$IIACK,802*5F")], before.core);
    const saved = JSON.parse(JSON.stringify(savedFrom(acknowledged.core)));
    const again = resume(saved, CORE, EVENING_MS + 3_600_000);
    expect(again.watch.stay).toEqual(acknowledged.core.watch.stay);
    const heard = run([{ kind: "tick", atMs: EVENING_MS + 3_601_000 }], again);
    expect(heard.out.join("\n")).toMatch(/IIALR,[^,]*,802,A,V,/);
    // Time spent switched off is not lost data: no fix for the first 10 s is no alert.
    expect(heard.core.alerts.active["position-lost"]).toBeUndefined();
  });
});

const ride = fc.record({
  rodeM: fc.double({ min: 12, max: 68, noNaN: true }),
  depthM: fc.double({ min: 1.5, max: 9, noNaN: true }),
  headingDeg: fc.integer({ min: 0, max: 359 }),
  towardDeg: fc.integer({ min: 0, max: 359 }),
  sogAlive: fc.boolean(),
});

/**
 * A boat let go at the anchorage that makes off at a constant speed, a fix every so many seconds. Returns when she
 * crossed a circle (its wander given), and when she was alarmed.
 */
function makesOff(
  choice: { rodeM: number; depthM: number; headingDeg: number; towardDeg: number; sogAlive: boolean },
  mps: number,
  everyS: number,
  wanderM: number,
  forS: number,
): { leftS: number | undefined; alarmS: number | undefined } {
  const { rodeM, depthM, headingDeg, towardDeg, sogAlive } = choice;
  const steady = [seal(`HEHDT,${headingDeg}.0,T`), seal(`SDDBT,,f,${depthM.toFixed(2)},M,,F`)];
  let { core } = run([
    ...second(1, [rmc(1), ...steady]),
    act(1, "LETGO"),
    act(1, `RODE,${rodeM.toFixed(1)},M`),
    act(1, "BROUGHTUP"),
  ]);
  let leftS: number | undefined;
  for (let s = 2; s <= forS; s++) {
    const at = vectorOf(mps * (s - 1), towardDeg);
    const sogKn = sogAlive ? mps * 1.944 : 0;
    const fix = s % everyS === 0 ? [rmc(s, { northM: at.north, eastM: at.east, sogKn })] : [];
    const advanced = run([...second(s, [...fix, ...steady]), tick(s)], core);
    core = advanced.core;
    const { picture, figures } = core.last;
    const circle = circleNow(core.watch, picture, figures.heights, CORE.watch, wanderM);
    const anchor = core.watch.stay.anchor?.position ?? ANCHORAGE;
    const rangeM = distanceM(anchor, moved(ANCHORAGE, at));
    if (leftS === undefined && circle !== undefined && rangeM > circle.radiusM) leftS = s;
    if (core.alerts.active["outside-circle"] !== undefined) return { leftS, alarmS: s };
  }
  return { leftS, alarmS: undefined };
}

describe("the plain guarantee", () => {
  test("outside the hard circle for leave_after, on a track without jumps, always alarms", () => {
    const speed = fc.double({ min: 0.5, max: 2.5, noNaN: true });
    fc.assert(
      fc.property(ride, speed, fc.constantFrom(1, 2, 4), (choice, mps, everyS) => {
        const needS = Math.ceil(200 / mps) + 60;
        const { leftS, alarmS } = makesOff(choice, mps, everyS, HARD_WANDER_M, needS);
        expect(alarmS).toBeDefined();
        if (leftS !== undefined)
          expect(alarmS).toBeLessThanOrEqual(leftS + CORE.watch.leaveAfterMs / 1000 + everyS);
      }),
      { numRuns: 6 },
    );
  });

  test("a boat adrift at 3 m/s from one fix to the next is alarmed within 60 s of leaving her circle", () => {
    fc.assert(
      fc.property(ride, fc.integer({ min: 1, max: 5 }), (choice, everyS) => {
        const { leftS, alarmS } = makesOff(choice, 3, everyS, 15, 130);
        expect(leftS).toBeDefined();
        expect((alarmS ?? Number.POSITIVE_INFINITY) - (leftS ?? 0)).toBeLessThanOrEqual(60);
      }),
      { numRuns: 6 },
    );
  });
});
