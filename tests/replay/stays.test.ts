/**
 * Stays with the truth known. The models are the rehearsal's own: hull, rode law and ground are not those that the
 * watch reckons with.
 */
import { describe, expect, test } from "vitest";
import { chanceOf } from "../../src/rehearsal/chance.ts";
import { bowWish } from "../../src/rehearsal/hull.ts";
import { event, tell } from "../../src/rehearsal/script.ts";
import { directionOf, turnDeg, vectorOf } from "../../src/units/angle.ts";
import { distanceM } from "../../src/units/position.ts";
import { fromKn } from "../../src/units/speed.ts";
import { boatSettings, type Followed, follow, PLAIN, type StayPlan, sceneOf } from "../watch/stays.ts";

interface Second {
  atS: number;
  draggedM: number;
  distanceM: number;
  rodeM: number;
  pullN: number;
  proposed: boolean;
}

function planOf(seed: number, withDrag: boolean): StayPlan {
  const chance = chanceOf(seed * 104_729);
  const depthM = chance.between(3, 10);
  const rodeM = Math.min(65, Math.round((depthM + 1.1) * chance.between(4.5, 7)));
  const drag = { kind: "drag", speedMps: chance.between(2, 10) / 60, resetsAfterM: undefined } as const;
  return {
    ...PLAIN,
    depthM,
    rodeM,
    windKn: chance.between(12, 24),
    windFromDeg: chance.between(0, 360),
    streamKn: chance.between(0, 0.4),
    streamTowardDeg: chance.between(0, 360),
    letGoS: 120,
    neutralS: 20,
    drag: withDrag ? { afterS: chance.between(5, 90), drag } : undefined,
    lengthS: 120 + Math.ceil(rodeM / 0.35) + (withDrag ? 300 : 240),
  };
}

function markErrorM({ truth, stay }: Followed): number {
  return truth.anchor === undefined || stay.anchor === undefined
    ? Number.NaN
    : distanceM(truth.anchor, stay.anchor.position);
}

/** How far out the receiver was when it was let go. */
function receiverErrorM({ truth, picture }: Followed): number {
  return picture.position === undefined ? Number.NaN : distanceM(truth.antenna, picture.position.value);
}

function play(plan: StayPlan, seed: number) {
  const seconds: Second[] = [];
  const marks: { markM: number; receiverM: number }[] = [];
  let notHolding = false;
  let before: Followed | undefined;
  follow(plan, seed, (now) => {
    const { truth, stay, figures } = now;
    if (stay.phase === "let-go" && before?.stay.phase === "underway")
      marks.push({ markM: markErrorM(now), receiverM: receiverErrorM(before) });
    before = now;
    if (truth.anchor === undefined) return;
    const { bringingUp } = figures.guidance;
    notHolding ||= bringingUp?.notHolding === true;
    seconds.push({
      atS: now.atS,
      draggedM: truth.draggedM,
      distanceM: distanceM(truth.anchor, truth.boat),
      rodeM: truth.rodeM,
      pullN: truth.pullN,
      proposed: bringingUp?.proposed === true,
    });
  });
  return { seconds, mark: marks[0], notHolding };
}

/** All the rode out, it pulls, and for a minute on she goes no farther and the anchor stays. */
function holdsFrom(seconds: readonly Second[], rodeM: number): number | undefined {
  return seconds.findIndex((now, i) => {
    if (now.rodeM < 0.98 * rodeM - 0.5 || now.pullN < 60 || i + 60 >= seconds.length) return false;
    if ((seconds[i + 5]?.rodeM ?? 0) - now.rodeM > 0.02) return false;
    const minute = seconds.slice(i, i + 60);
    return minute.every((s) => s.distanceM - now.distanceM <= 1 && s.draggedM - now.draggedM <= 0.3);
  });
}

describe("brought up", () => {
  test.each(Array.from({ length: 13 }, (_, i) => i + 1))(
    "stay %d, the anchor holds: its mark is right, and it is proposed within 90 s",
    (seed) => {
      const plan = planOf(seed, false);
      const { seconds, mark } = play(plan, seed);
      expect(mark?.markM).toBeLessThanOrEqual(2 + (mark?.receiverM ?? 0));
      const truth = holdsFrom(seconds, plan.rodeM) ?? -1;
      expect(truth).toBeGreaterThan(0);
      const proposed = seconds.findIndex((second) => second.proposed);
      expect(proposed - truth).toBeLessThanOrEqual(90);
    },
  );

  test.each(Array.from({ length: 7 }, (_, i) => i + 21))(
    "stay %d, the anchor comes along: never proposed while it does, and it is said",
    (seed) => {
      const { seconds, notHolding } = play(planOf(seed, true), seed);
      const wrong = seconds.filter((now, i) => {
        const [before, after] = [seconds[i - 5], seconds[i + 60]];
        if (!now.proposed || before === undefined || after === undefined) return false;
        return now.draggedM - before.draggedM > 0.01 && after.draggedM - now.draggedM > 0.3;
      });
      expect(wrong).toEqual([]);
      expect(notHolding).toBe(true);
    },
  );
});

describe("weighing", () => {
  test.each(Array.from({ length: 6 }, (_, i) => i + 1))(
    "stay %d: each stage is called at the right rode, within 3 m, in order by depth; aweigh once it is",
    (seed) => {
      const chance = chanceOf(seed * 31_337);
      const depthM = chance.between(3.5, 12);
      const heightM = depthM + 1.1;
      const rodeM = Math.min(60, Math.round(heightM * 5));
      const upM = heightM + 0.5;
      const weighS = 300;
      const aweighS = weighS + 70 + Math.ceil((rodeM - upM) / 0.25);
      const plan: StayPlan = {
        ...PLAIN,
        depthM,
        rodeM,
        letGoS: 60,
        neutralS: 20,
        windKn: chance.between(8, 18),
        windFromDeg: chance.between(0, 360),
        lengthS: aweighS + 70,
        extra: [
          tell(weighS, "PRDW,WEIGH"),
          event(weighS + 30, { do: "heave", toM: upM, rateMps: 0.25 }),
          event(aweighS, { do: "aweigh" }),
          event(aweighS + 1, { do: "neutral" }),
        ],
      };
      const called: { stage: string; rodeM: number; atS: number }[] = [];
      follow(
        plan,
        seed,
        ({ atS, truth, figures }) => {
          const stage = figures.guidance.weigh?.stage;
          if (stage !== undefined && called[called.length - 1]?.stage !== stage)
            called.push({ stage, rodeM: truth.rodeM, atS });
        },
        boatSettings(true),
      );
      // A length told at a mark may jump over short stay; nothing may jump over the splice.
      const stages = called.map(({ stage }) => stage).filter((stage) => !/foul|short-stay/.test(stage));
      expect(stages).toEqual(["come-up", ...(heightM > 8 ? [] : ["splice-near"]), "up-and-down", "aweigh"]);
      const wanted: Record<string, number> = {
        "splice-near": 8 + 5,
        "short-stay": 1.5 * heightM,
        "up-and-down": 1.12 * heightM,
      };
      for (const { stage, rodeM: outM } of called)
        if (wanted[stage] !== undefined) expect(Math.abs(outM - wanted[stage])).toBeLessThan(3);
      const aweigh = called.find(({ stage }) => stage === "aweigh");
      expect(aweigh?.atS).toBeGreaterThan(aweighS);
    },
  );
});

test("approach, from the drift alone: never a confident wrong answer; told to a third or more of those who wait", () => {
  const hull = { lengthM: 9.2, draughtM: 0.8, abeamM2: 11 };
  const offs: number[] = [];
  let looked = 0;
  for (let seed = 1; looked < 12; seed++) {
    const chance = chanceOf(seed * 7919);
    const plan: StayPlan = {
      ...PLAIN,
      windKn: chance.between(6, 20),
      streamKn: seed % 3 === 0 ? 0 : chance.between(0.3, 2),
      streamTowardDeg: chance.between(0, 360),
      windFromDeg: chance.between(0, 360),
      letGoS: 420,
      neutralS: 310,
      lengthS: 382,
      noLog: true,
    };
    const air = vectorOf(-fromKn(plan.windKn), plan.windFromDeg);
    const stream = vectorOf(fromKn(plan.streamKn), plan.streamTowardDeg);
    const { wish, windN, streamN } = bowWish({ ...sceneOf(plan, chance).hull, ...hull }, air, stream);
    if (Math.max(windN, streamN) < 1.3 * Math.min(windN, streamN)) continue;
    looked++;
    follow(plan, seed, ({ atS, figures }) => {
      const approach = atS === 220 || atS === 380 ? figures.guidance.approach : undefined;
      if (approach?.lie !== undefined)
        offs.push(Math.abs(turnDeg(directionOf(wish) ?? 0, approach.lie.headingDeg)));
      else if (approach !== undefined) expect(approach.lacks).toBeDefined();
    });
  }
  expect(offs.filter((off) => off > 15)).toEqual([]);
  expect(offs.length).toBeGreaterThanOrEqual(8);
});
