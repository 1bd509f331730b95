import { describe, expect, test } from "vitest";
import { decode } from "../../src/nmea/table.ts";
import { SCENES } from "../../src/rehearsal/scenes.ts";
import { fixBodies, positionFields, SOURCE, stamped } from "../../src/rehearsal/sentences.ts";
import { bearingDeg, distanceM } from "../../src/units/position.ts";
import { degrees, heard, played, sentence } from "./played.ts";

/** XOR of the characters, written again here so that the sealing is checked and not believed. */
function sum(text: string): string {
  let xor = 0;
  for (const character of text) xor ^= character.codePointAt(0) ?? 0;
  return xor.toString(16).toUpperCase().padStart(2, "0");
}

const LINE = /^\\(c:(\d+),s:rehearsal)\*([0-9A-F]{2})\\\$([A-Z0-9]{4,5}(?:,[^$!*\\^~]*))\*([0-9A-F]{2})$/;

const ONCE_A_SECOND = ["RMC", "GGA", "VTG", "HDG", "MWV", "DPT", "VHW"];

describe.each([...SCENES.keys()])("the lines of %s", (name) => {
  // Two scenes to their ends; of the others the arrival and some lying, for time's sake.
  const seconds = played(name, 1, ["stay", "weigh"].includes(name) ? undefined : 1200);

  test("are whole: checksums, at most 82 characters with CR LF, TAG block at most 80", () => {
    for (const { lines } of seconds)
      for (const line of lines) {
        const [, tag, , tagSum, body, bodySum] = LINE.exec(line) ?? [];
        if (tag === undefined || body === undefined) throw new Error(`not a line: ${line}`);
        if (sum(tag) !== tagSum || sum(body) !== bodySum) throw new Error(`wrong sum: ${line}`);
        if (body.length + 4 + 2 > 82) throw new Error(`too long: ${line}`);
        if (tag.length + 5 > 80) throw new Error(`TAG block too long: ${line}`);
      }
  });

  test("have stamps that go forward, within their second", () => {
    let last = 0;
    for (const { atMs, lines } of seconds)
      for (const line of lines) {
        const stamp = Number(LINE.exec(line)?.[2]);
        if (!(stamp > last && stamp >= atMs && stamp < atMs + 1000)) throw new Error(`stamp: ${line}`);
        last = stamp;
      }
  });

  test("hold every instrument once a second, and only whole seconds one after another", () => {
    seconds.forEach((second, i) => {
      if (second.atMs - (seconds[0]?.atMs ?? 0) !== i * 1000) throw new Error(`${second.atMs} at ${i}`);
      const ids = second.lines.map((line) => sentence(line).id).filter((id) => ONCE_A_SECOND.includes(id));
      if (ids.join() !== ONCE_A_SECOND.join()) throw new Error(`${ids.join()} at ${i}`);
    });
  });
});

function greatest(values: readonly number[]): number {
  return values.reduce((a, b) => Math.max(a, Math.abs(b)), 0);
}

describe("what the lines say is what is true", () => {
  const seconds = played("stay", 1);

  test("RMC and GGA agree, and lie within a good receiver's error of the antenna", () => {
    let worstM = 0;
    for (const second of seconds) {
      const rmc = heard(second, "RMC") ?? [];
      const gga = heard(second, "GGA") ?? [];
      const [time, status, lat = "", ns = "", lon = "", ew = ""] = rmc;
      if (status !== "A" || gga.slice(0, 5).join() !== [time, lat, ns, lon, ew].join())
        throw new Error(`${rmc.join()} and ${gga.join()}`);
      const said = { latDeg: degrees(lat, ns), lonDeg: degrees(lon, ew) };
      worstM = Math.max(worstM, distanceM(said, second.truth.antenna));
    }
    // Two axes of at most 1 m, breathing, for 10⁴ seconds: five deviations either way.
    expect(worstM).toBeLessThan(7);
    expect(worstM).toBeGreaterThan(0.5);
  });

  test("the date and time are the stamp's", () => {
    const rmc = heard(seconds[0] as (typeof seconds)[0], "RMC");
    expect(new Date(seconds[0]?.atMs ?? 0).toISOString()).toBe("2026-06-14T19:20:00.000Z");
    expect([rmc?.[0], rmc?.[8]]).toEqual(["192000.00", "140626"]);
  });

  // HDG as in "NMEA Revealed" (E. S. Raymond): true = sensor heading + deviation + variation, east added.
  test("the heading comes back from HDG within bias and noise", () => {
    const off = seconds.map((second) => {
      const [magnetic, deviation, , variation, side] = heard(second, "HDG") ?? [];
      if (deviation !== "" || side !== "E") throw new Error(`deviation ${deviation}, variation ${side}`);
      return ((Number(magnetic) + Number(variation) - second.truth.headingDeg + 540) % 360) - 180;
    });
    expect(greatest(off)).toBeLessThan(4 + 5 * 1.5);
    const mean = off.reduce((sum, deg) => sum + deg, 0) / off.length;
    expect(Math.abs(mean)).toBeLessThan(4.1);
  });

  // DPT as in "NMEA Revealed": a positive offset runs from transducer to waterline, so f1 + f2 is the depth.
  test("the depth comes back from DPT", () => {
    const off = seconds.map((second) => {
      const [below, offset] = heard(second, "DPT") ?? [];
      if (offset !== "0.4") throw new Error(`offset ${offset}`);
      return Number(below) + Number(offset) - second.truth.depthM;
    });
    expect(greatest(off)).toBeLessThan(0.4);
  });

  // Triangle of velocities: ground wind = apparent wind with the boat's velocity added.
  test("the wind comes back from MWV, heading and the way she makes", () => {
    const hour = seconds.slice(5700, 8100);
    let ratio = 0;
    let offDeg = 0;
    hour.forEach((second, i) => {
      const [angle, reference, kn] = heard(second, "MWV") ?? [];
      if (reference !== "R") throw new Error(`reference ${reference}`);
      const { truth } = second;
      const rad = ((truth.headingDeg + Number(angle)) * Math.PI) / 180;
      const before = hour[i - 1]?.truth.boat ?? truth.boat;
      const course = ((bearingDeg(before, truth.boat) ?? 0) * Math.PI) / 180;
      const wayKn = distanceM(before, truth.boat) / 0.514444;
      const north = Number(kn) * Math.cos(rad) + wayKn * Math.cos(course);
      const east = Number(kn) * Math.sin(rad) + wayKn * Math.sin(course);
      ratio += Math.hypot(north, east) / truth.windKn / hour.length;
      const from = (Math.atan2(east, north) * 180) / Math.PI;
      offDeg += (((from - truth.windFromDeg + 540) % 360) - 180) / hour.length;
    });
    expect(ratio).toBeGreaterThan(0.99);
    expect(ratio).toBeLessThan(1.01);
    expect(Math.abs(offDeg)).toBeLessThan(4.2);
  });
});

test("the daemon's own reading of a stay refuses nothing, and knows each act and its stamp", () => {
  const kinds = new Set<string>();
  const verbs: string[] = [];
  // Every act, and of the instruments a tenth, for time's sake.
  const lines = played("stay", 1).flatMap((second, i) => second.lines.slice(i % 10 === 0 ? 0 : 7));
  for (const line of lines) {
    const { pieces, tagDropped } = decode(line, { checksum: "required" });
    const [piece] = pieces;
    if (pieces.length !== 1 || piece?.kind !== "sentence" || tagDropped > 0 || piece.overLong)
      throw new Error(`${piece?.kind}: ${line}`);
    if (piece.tag?.source !== SOURCE || !line.includes(`c:${piece.tag.atMs},`)) throw new Error(line);
    kinds.add(piece.sentence.id);
    if (piece.sentence.id === "PRDW") verbs.push(piece.sentence.content?.order?.verb ?? `not known: ${line}`);
  }
  expect([...kinds].sort()).toEqual([...ONCE_A_SECOND, "PRDW", "ACN"].sort());
  expect(new Set(verbs)).toEqual(
    new Set(["LETGO", "RODE", "RISE", "EXPECT", "BROUGHTUP", "WEIGH", "AWEIGH"]),
  );
});

describe("fields", () => {
  // Layout ddmm.mmmm as in "NMEA Revealed": two digits left of the point are whole minutes.
  test("a position is written in degrees and minutes", () => {
    const position = { latDeg: 50 + 45.612 / 60, lonDeg: -(1 + 18.234 / 60) };
    expect(positionFields(position, 4)).toBe("5045.6120,N,00118.2340,W");
    expect(positionFields(position, 3)).toBe("5045.612,N,00118.234,W");
    expect(positionFields({ latDeg: -33.5, lonDeg: 151.0125 }, 4)).toBe("3330.0000,S,15100.7500,E");
  });

  test("minutes that round to sixty become the next degree", () => {
    expect(positionFields({ latDeg: 9.9999999, lonDeg: 99.9999999 }, 4)).toBe("1000.0000,N,10000.0000,E");
  });

  const fix = {
    timeS: 0,
    valid: true,
    at: { north: 0, east: 0 },
    speedKn: 0.2,
    courseDeg: 359.97,
    satellites: 9,
    hdop: 0.9,
  };
  const place = { latDeg: 50.5, lonDeg: -1.5 };

  test("a course that rounds to 360 is written as 0", () => {
    const [rmc, , vtg] = fixBodies(fix, 0, place, 0.8, { minute: 4, speed: 1 });
    expect(rmc?.split(",")[8]).toBe("0.0");
    expect(vtg).toBe("GPVTG,0.0,T,359.2,M,0.2,N,0.4,K,A");
  });

  test("no course is an empty field, and no fix leaves everything empty", () => {
    const still = { ...fix, courseDeg: undefined };
    expect(fixBodies(still, 0, place, 0.8, { minute: 4, speed: 1 })[2]).toBe("GPVTG,,T,,M,0.2,N,0.4,K,A");
    const lost = { ...fix, valid: false };
    expect(fixBodies(lost, 0, place, 0.8, { minute: 4, speed: 1 })).toEqual([
      "GPRMC,000000.00,V,,,,,,,010170,0.8,E,N,V",
      "GPGGA,000000.00,,,,,0,00,99.9,,M,,M,,",
      "GPVTG,,T,,M,,N,,K,N",
    ]);
  });

  test("many lines still fit their second", () => {
    const lines = stamped(
      Array.from({ length: 60 }, () => "IIHDT,1.0,T"),
      5000,
    );
    const stamps = lines.map((line) => Number(LINE.exec(line)?.[2]));
    expect(new Set(stamps).size).toBe(60);
    expect(Math.max(...stamps)).toBeLessThan(6000);
  });
});
