/** Whole stories, from the sentences in to the alarms out. */
import { describe, expect, test } from "vitest";
import { lying, type Night, nightOf } from "./night.ts";

/** Let go at second 5 (anchor 6 m north of the anchorage), 35 m veered, 28 m to leeward from 35 on, quiet until 100. */
function anchored(night: Night = nightOf()): Night {
  night.each(1, 5, (at) => lying(at, 0));
  night.at(5).act("LETGO");
  night.each(6, 40, (at, s) => lying(at, Math.min(28, s - 5)));
  night.at(40).act("RODE,35.0,M").act("BROUGHTUP");
  return night.each(41, 100, (at) => lying(at, 28));
}

/** Away to leeward at 2 m/s from second 100 on, until so far off. */
const away = (s: number, metres: number): number => Math.min(metres, 28 + (s - 100) * 2);

/** Of this night's circle: √(35² − 6.1²) + 6 + 15 + 15, from the anchor 6 m north; stretch adds centimetres. */
const EDGE_M = Math.sqrt(35 ** 2 - 6.1 ** 2) + 36 - 6;

test("a quiet night: no alarm, no warning; the anchor told as WPL and BWC, the rode as XDR", () => {
  const night = anchored().each(101, 500, (at, s) => lying(at, 28 + 2 * Math.sin(s / 40)));
  expect(night.changes.filter((one) => one.priority !== "caution")).toEqual([]);
  const ids = new Set(night.out.map(({ class: sort, text }) => `${sort} ${text.slice(1, 6)}`));
  for (const one of [
    "alerts IIALC",
    "alerts IIHBT",
    "anchor IIWPL",
    "anchor IIBWC",
    "rode IIXDR",
    "acts PRDW,",
  ])
    expect(ids).toContain(one);
  const bwc = night.out.filter(({ text }) => text.startsWith("$IIBWC")).at(-1)?.text ?? "";
  expect(bwc).toMatch(/,(000|360)\.0,T,,M,0\.01\d,N,ANCHOR,A\*/);
});

describe("leaving the circle", () => {
  test("slowly: an alarm 30 s after the edge", () => {
    const night = anchored().each(101, 330, (at, s) => lying(at, 28 + (s - 100) * 0.2));
    const edgeS = Math.ceil(100 + (EDGE_M - 28) / 0.2);
    const alarmS = night.raisedAt("outside-circle", "alarm");
    expect(alarmS).toBeGreaterThanOrEqual(edgeS + 30);
    expect(alarmS).toBeLessThanOrEqual(edgeS + 33);
  });

  test("and coming back: repeated after a minute, over after 30 s inside, and waiting to be seen", () => {
    const night = anchored().each(101, 220, (at, s) => lying(at, away(s, EDGE_M + 10)));
    night.each(221, 270, (at, s) => lying(at, EDGE_M + 10 - Math.min(30, (s - 220) * 2)));
    const outS = 101 + Math.floor((EDGE_M - 28) / 2);
    expect(night.story("outside-circle")).toEqual([
      `${outS + 30} alarm unacknowledged`,
      `${outS + 90} alarm unacknowledged`,
      "255 alarm rectified",
    ]);
  });

  test("far, by more than twice the margin: after 10 s", () => {
    const night = anchored().each(101, 160, (at, s) => lying(at, 28 + (s - 100) * 3));
    const farS = Math.ceil(100 + (EDGE_M + 30 - 28) / 3);
    expect(night.raisedAt("outside-circle")).toBeLessThanOrEqual(farS + 11);
  });

  test("adrift at 3 m/s with a receiver that says 0 kn: within 30 s of the edge, and never doubted", () => {
    const night = anchored().each(101, 160, (at, s) => lying(at, 28 + (s - 100) * 3));
    const edgeS = 100 + (EDGE_M - 28) / 3;
    expect((night.raisedAt("outside-circle") ?? Number.POSITIVE_INFINITY) - edgeS).toBeLessThan(30);
    expect(night.raisedAt("position-doubtful")).toBeUndefined();
  });

  test("the alarm goes out in that second as ALR, ALF and TXT, and again until it is seen", () => {
    const night = anchored().each(101, 220, (at, s) => lying(at, away(s, EDGE_M + 20)));
    const raisedS = night.raisedAt("outside-circle") ?? Number.NaN;
    const sent = night.out.filter(({ text }) => /^\$II(ALR,.*,802,|ALF,.*,10802,|TXT,.*OUT OF)/.test(text));
    expect(sent.slice(0, 8).map(({ atS, text }) => `${atS - raisedS} ${text.slice(3, 6)}`)).toEqual([
      "0 ALR",
      "0 ALF",
      "0 ALF",
      "0 TXT",
      "30 ALR",
      "60 ALR",
      "60 ALF",
      "60 ALF",
    ]);
  });

  test("acknowledged it is quiet while she lies there, and returns when she goes on", () => {
    const night = anchored().each(101, 170, (at, s) => lying(at, away(s, EDGE_M + 20)));
    night.at(170).acknowledge(802);
    night.each(171, 400, (at) => lying(at, EDGE_M + 20));
    expect(night.story("outside-circle").at(-1)).toBe("170 alarm acknowledged");
    night.each(401, 440, (at, s) => lying(at, EDGE_M + 20 + Math.min(12, (s - 400) * 0.5)));
    expect(night.story("outside-circle").at(-1)).toMatch(/^4[0-2]\d alarm unacknowledged$/);
  });

  test("the circle is the whole rode's until the rode is told", () => {
    const night = nightOf();
    night.each(1, 5, (at) => lying(at, 0));
    night.at(5).act("LETGO");
    night.each(6, 150, (at, s) => lying(at, Math.min(85, s * 2)));
    expect(night.raisedAt("outside-circle")).toBeUndefined();
    night.at(150).act("RODE,35.0,M");
    night.each(151, 190, (at) => lying(at, 85));
    expect(night.raisedAt("outside-circle")).toBeDefined();
  });

  test("ten kilometres off with the anchor never told aweigh, the alarm still goes out", () => {
    const night = anchored();
    night.each(101, 560, (at, s) => at.fix(-28 - (s - 100) * 28, 0, { sogKn: 54.4 }).depth(30));
    expect(night.core.alerts.active["outside-circle"]?.priority).toBe("alarm");
    const texts = night.out.map(({ text }) => text).filter((text) => text.includes("m outside"));
    expect(texts.at(-1)).toMatch(/,1\d{4} m outside/);
  });
});

describe("no position", () => {
  test("a warning at 10 s, an alarm at 60 s, and again every 10 minutes though acknowledged", () => {
    const night = anchored().until(160);
    expect(night.story("position-lost")).toEqual(["110 warning unacknowledged", "160 alarm unacknowledged"]);
    night.at(165).acknowledge(810);
    night.until(165 + 700);
    expect(night.story("position-lost").slice(2, 4)).toEqual([
      "165 alarm acknowledged",
      "765 alarm unacknowledged",
    ]);
  });

  // Recorded at Geneva: a receiver that sends the same valid fix, time included, while wind and heading live on.
  test("a hung receiver is no position", () => {
    const night = anchored();
    for (let s = 101; s <= 170; s++) {
      night.at(100).fix(-28);
      night.at(s).heading(0).wind(12).depth(4.6);
    }
    expect(night.until(170).raisedAt("position-lost", "alarm")).toBe(160);
  });

  test("nor are fixes 515 km off at 65 kn: doubtful after 5 s, lost after 10 s", () => {
    const night = anchored().each(101, 170, (at) => at.fix(515_000, 0, { sogKn: 65 }).heading(0).depth(4.6));
    expect(night.raisedAt("position-doubtful")).toBe(106);
    expect(night.raisedAt("position-lost", "warning")).toBe(110);
    expect(night.raisedAt("position-lost", "alarm")).toBe(160);
    expect(night.raisedAt("outside-circle")).toBeUndefined();
  });

  test.each([
    [147, 40],
    [318, 40],
    [100, 59],
  ])("a jump of %d m for %d s is doubtful, never an alarm", (metres, seconds) => {
    const night = anchored().each(101, 100 + seconds, (at) => lying(at, 28 + metres));
    night.each(101 + seconds, 250, (at) => lying(at, 28));
    expect(night.raisedAt("position-doubtful")).toBe(106);
    expect(night.alarms()).toEqual([]);
  });

  test("everything off at once: position, depth, wind and heading are told, each once", () => {
    const night = anchored().until(200);
    const raised = night.changes.filter((one) => one.atS > 100 && one.atS < 140).map((one) => one.key);
    expect(raised.sort()).toEqual(["depth-lost", "heading-lost", "position-lost", "wind-lost"]);
  });
});

describe("shoal and scope", () => {
  test("the false echoes of a sounder over a moored boat wake nobody", () => {
    const echoes = [4.6, 61.7, 61.7, 4.7, 4.6, 0, 4.6, 4.7];
    const night = anchored().each(101, 300, (at, s) => lying(at, 28, { depthM: echoes[s % 8] ?? 4.6 }));
    expect(night.alarms()).toEqual([]);
    expect(night.raisedAt("scope-short")).toBeUndefined();
  });

  test("the tide goes out: shoal 5 s after less than a metre is left under the keel", () => {
    // 2 cm a second, read in centimetres: 1.39 m below the transducer is 0.99 m under the keel, at second 261.
    const depthM = (s: number) => Math.round((4.61 - (s - 100) * 0.02) * 100) / 100;
    const night = anchored().each(101, 280, (at, s) => lying(at, 28, { depthM: depthM(s) }));
    expect(night.raisedAt("shoal", "alarm")).toBe(266);
  });

  test("the wind gets up: the target rises at once, and asks for rode; told out, it is quiet", () => {
    const night = anchored();
    night.each(101, 420, (at) => lying(at, 28, { windKn: 26 }));
    expect(night.raisedAt("scope-short", "warning")).toBeGreaterThan(110);
    expect(night.changes.find((one) => one.key === "scope-short")?.text).toMatch(/wants 7: veer 8 m$/);
    night.at(420).act("RODE,45.0,M");
    night.each(421, 490, (at) => lying(at, 28, { windKn: 26 }));
    expect(night.story("scope-short").at(-1)).toMatch(/^4\d\d warning rectified$/);
  });
});

describe("acts in a night", () => {
  test("a drag, and she holds again: the new circle is about the new place", () => {
    const night = anchored().each(101, 200, (at, s) => lying(at, away(s, 108)));
    expect(night.alarms()).toContain("outside-circle");
    night.at(200).acknowledge(802).act("BROUGHTUP");
    night.each(201, 300, (at) => lying(at, 108));
    expect(night.story("outside-circle").at(-1)).toBe("201 alarm normal");
    night.each(301, 400, (at, s) => lying(at, 108 + (s - 300)));
    expect(night.core.alerts.active["outside-circle"]?.status).toBe("unacknowledged");
  });

  test("weighing: armed until aweigh, then silent", () => {
    const night = anchored();
    night.at(100).act("WEIGH");
    night.each(101, 200, (at, s) => lying(at, 28 - (s - 100) * 0.3));
    night.at(200).act("AWEIGH");
    night.each(201, 300, (at, s) =>
      at
        .fix(2 + (s - 200) * 2, 0, { sogKn: 4 })
        .heading(0)
        .depth(4.6),
    );
    expect(night.alarms()).toEqual([]);
    expect(night.core.watch.stay.phase).toBe("underway");
  });

  test("answers: what was done, and why not", () => {
    const night = nightOf();
    night.each(1, 3, (at) => lying(at, 0));
    night.at(3).act("BROUGHTUP").act("LETGO").act("LETGO").act("RODE,99.0,M").act("RODE,35,x").act("HOIST");
    night.at(4).hear("PRDW,RODE,35.0,M").hear("PRDW,FACT,port-down,1", "wheel");
    const answers = night.out.filter((one) => one.class === "acts").map(({ text }) => text.slice(6, -3));
    expect(answers).toEqual([
      "NAK,BROUGHTUP,phase",
      "ACK,LETGO",
      "NAK,LETGO,phase",
      "NAK,RODE,rode",
      "NAK,RODE,format",
      "NAK,HOIST,format",
      "NAK,RODE,port",
      "NAK,FACT,port",
    ]);
  });

  test("our own answers coming back on the wire are echoes, not acts", () => {
    const night = anchored();
    const before = night.out.length;
    night.at(101).hear("PRDW,ACK,LETGO", "wheel").hear("PRDW,NAK,RODE,rode", "wheel");
    expect(night.out.slice(before)).toEqual([]);
  });

  test("an acknowledgement is believed only from where it may come", () => {
    const night = anchored().each(101, 170, (at, s) => lying(at, away(s, EDGE_M + 20)));
    const status = () => night.core.alerts.active["outside-circle"]?.status;
    night.at(171).hear("IIACK,802", "wifi").hear("IIACK,802", "elsewhere");
    expect(status()).toBe("unacknowledged");
    night.at(171).hear("IIACK,802", "bus");
    expect(status()).toBe("acknowledged");
  });

  test("a port that falls down and comes back: over once it has been up for half a minute", () => {
    const night = nightOf();
    night.at(5).hear("PRDW,FACT,port-down:bus,1,bus: cable pulled^2C retrying", "edge");
    night.until(20);
    night.at(21).hear("PRDW,FACT,port-down:bus,0", "edge");
    night.until(30);
    night.at(31).hear("PRDW,FACT,port-down:bus,1,bus: cable pulled^2C retrying", "edge");
    night.until(40);
    night.at(41).hear("PRDW,FACT,port-down:bus,0", "edge");
    night.until(90);
    expect(night.story("port-down")).toEqual(["5 caution acknowledged", "71 caution normal"]);
  });
});

describe("the least boat: a receiver and a sounder", () => {
  test("has her circle, her shoal and her scope", () => {
    const night = nightOf();
    const bare = (metres: number) => (at: ReturnType<Night["at"]>) => void at.fix(-metres).depth(4.6);
    night.each(1, 10, bare(0));
    night.at(10).act("LETGO").act("RODE,20.0,M").act("BROUGHTUP");
    night.each(11, 100, bare(14));
    expect(night.raisedAt("scope-short", "warning")).toBe(16);
    expect(night.raisedAt("wind-lost")).toBeUndefined();
    night.each(101, 200, (at, s) => void at.fix(-14 - (s - 100)).depth(4.6));
    expect(night.raisedAt("outside-circle", "alarm")).toBeDefined();
  });
});

test("under way nothing but cautions is made of lost data", () => {
  const night = nightOf().each(1, 60, (at, s) =>
    at
      .fix(s * 3, 0, { sogKn: 6 })
      .heading(0)
      .depth(12)
      .wind(15),
  );
  night.until(600);
  expect(night.changes.length).toBeGreaterThan(0);
  expect(night.changes.every((one) => one.priority === "caution")).toBe(true);
});

test("rode never told, and she sheers: not biting does not come and go all night", () => {
  const night = nightOf().each(1, 10, (at) => lying(at, 0));
  night.at(10).act("LETGO");
  let wanderM = 0;
  let seed = 1;
  night.each(11, 9000, (at, s) => {
    seed = (seed * 1103515245 + 12345) % 2147483648;
    wanderM = wanderM * 0.99 + (seed / 2147483648 - 0.5) * 0.6;
    const southM = Math.min(38, s - 10) + 4 * Math.sin(s / 60) + wanderM;
    at.fix(-southM, 3 * Math.sin(s / 45))
      .heading((360 + 8 * Math.sin(s / 45)) % 360)
      .depth(4.6)
      .wind(12 + 6 * Math.sin(s / 100));
    if (s % 30 === 0) at.acknowledge(815);
  });
  const raised = night.story("not-brought-up").filter((change) => change.endsWith("unacknowledged"));
  expect(raised.length).toBeGreaterThan(0);
  expect(raised.length).toBeLessThan(6);
  night.at(9001).act("BROUGHTUP");
  night.until(9003);
  expect(night.core.alerts.active["not-brought-up"]?.status ?? "normal").toBe("normal");
});
