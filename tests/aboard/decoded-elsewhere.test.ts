/**
 * What the daemon sends, read by a decoder that is none of ours: Debian's python3-nmea2, which knows WPL, BWC, XDR
 * and TXT. It checks each checksum, and gives values of its own.
 */
import { spawnSync } from "node:child_process";
import { afterEach, describe, expect, test } from "vitest";
import { until } from "../ports/ear.ts";
import { joined, putToSea, recorder } from "./boat.ts";

const PYTHON = "/usr/bin/python3";
const missing = spawnSync(PYTHON, ["-c", "import pynmea2"]).status !== 0;
const noDecoder = missing && !process.env.CI;
if (noDecoder) console.warn("pynmea2 is not installed (Debian package python3-nmea2): a test is skipped");

const cleanUps: (() => unknown)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

const READER = `
import json, sys, pynmea2
from pynmea2.nmea_utils import dm_to_sd
out = []
for line in sys.stdin:
    line = line.rstrip("\\r\\n")
    try:
        m = pynmea2.parse(line, check=True)
        r = {"id": m.sentence_type, "talker": m.talker, "data": m.data}
        def degrees(text, side):
            return dm_to_sd(text) * (-1 if side in ("S", "W") else 1)
        if m.sentence_type == "WPL":
            r["lat"], r["lon"] = degrees(m.lat, m.lat_dir), degrees(m.lon, m.lon_dir)
            r["name"] = m.waypoint_id
        if m.sentence_type == "BWC":
            r["lat"], r["lon"] = degrees(m.lat_next, m.lat_next_direction), degrees(m.lon_next, m.lon_next_direction)
            r["bearing"], r["nm"], r["name"] = float(m.true_track), float(m.range_next), m.waypoint_name
        if m.sentence_type == "XDR":
            r["measured"] = [[t.type, t.value, t.units, t.id] for t in [m.get_transducer(i) for i in range(m.num_transducers)]]
        if m.sentence_type == "TXT":
            r["text"] = m.text
        out.append(r)
    except Exception as e:
        out.append({"refused": line, "why": repr(e)})
json.dump(out, sys.stdout)
`;

interface Read {
  id: string;
  talker: string;
  refused: string | undefined;
  lat: number;
  lon: number;
  name: string;
  bearing: number;
  nm: number;
  measured: [string, string, string, string][];
  text: string;
}

function readBy(lines: readonly string[]): Read[] {
  const { stdout, stderr } = spawnSync(PYTHON, ["-c", READER], { input: lines.join("\r\n") });
  if (stdout.length === 0) throw new Error(stderr.toString());
  return JSON.parse(stdout.toString()) as Read[];
}

const KNOWN = /^\$..(?:WPL|BWC|XDR|TXT),/;

const port = (name: string, more: string) =>
  `[[port]]\nname = "${name}"\nkind = "tcp-server"\nlisten = "127.0.0.1:0"\nsend = ["alerts", "anchor", "rode"]\n${more}\n`;

describe("what goes out of a running daemon", () => {
  test.skipIf(noDecoder)("is read by another decoder, none refused, with the values meant", async () => {
    const boat = await putToSea(
      port("bus", 'operator = true\nclock = "tag"\ntalker = "EC"') +
        port("few", 'leave_out = ["BWC", "TXT", "WPL"]'),
    );
    cleanUps.push(() => boat.stop());
    const bus = await joined(boat.daemon, "bus");
    const few = await joined(boat.daemon, "few");
    cleanUps.push(
      () => bus.socket.destroy(),
      () => few.socket.destroy(),
    );
    const record = recorder(bus);
    record.seconds(5, "SDDPT,6.0,0.4,");
    bus.say("PRDW,LETGO,5045.6120,N,00118.2340,W", "PRDW,RODE,30,M", "PRDW,BROUGHTUP");
    await until(() => boat.daemon.core().watch.stay.phase === "riding", "riding");
    // Shoal, and too little rode: alerts with their TXT.
    record.seconds(70, "SDDPT,1.2,0.4,");
    const heardId = (id: string) => bus.lines().some((line) => line.slice(3, 6) === id);
    await until(() => ["WPL", "BWC", "XDR", "TXT"].every(heardId), "one of each");
    await until(() => few.lines().filter((line) => line.startsWith("$IIHBT")).length > 1, "a minute");
    const known = bus.lines().filter((line) => KNOWN.test(line));
    const read = readBy(known);
    expect(read.filter((one) => one.refused !== undefined)).toEqual([]);
    expect(new Set(read.map(({ id }) => id))).toEqual(new Set(["WPL", "BWC", "XDR", "TXT"]));
    expect(new Set(read.map(({ talker }) => talker))).toEqual(new Set(["EC"]));
    const anchor = boat.daemon.core().watch.stay.anchor?.position;
    for (const one of read.filter(({ id }) => id === "WPL" || id === "BWC")) {
      expect(one.name).toBe("ANCHOR");
      // Four decimals of a minute.
      expect(one.lat).toBeCloseTo(anchor?.latDeg ?? 0, 5);
      expect(one.lon).toBeCloseTo(anchor?.lonDeg ?? 0, 5);
    }
    // 15 m south of the antenna: 0.008 of a mile of 1852 m.
    for (const one of read.filter(({ id }) => id === "BWC")) {
      expect(one.bearing).toBeCloseTo(180, 0);
      expect(one.nm).toBeCloseTo(0.008, 3);
    }
    const units = { RODEREQ: ["D", "M"], SCOPE: ["G", ""], PULL: ["A", "D"] };
    for (const one of read.filter(({ id }) => id === "XDR")) {
      expect(one.measured.length).toBeGreaterThan(0);
      for (const [type, value, unit, name] of one.measured) {
        expect([name, [type, unit]]).toEqual([name, units[name as keyof typeof units]]);
        expect(Number(value)).toBeGreaterThanOrEqual(0);
      }
    }
    expect(
      read
        .filter(({ id }) => id === "TXT")
        .map(({ text }) => text)
        .join(),
    ).toMatch(/(?:VEER MORE RODE|SHOAL HERE): /);

    // Each can be left out of a port; what is not named goes on, and so do the alarms.
    const there = new Set(few.lines().map((line) => line.slice(3, 6)));
    for (const id of ["BWC", "TXT", "WPL"]) expect(there).not.toContain(id);
    for (const id of ["XDR", "ALR", "ALF", "HBT"]) expect(there).toContain(id);
  });

  test.skipIf(noDecoder)("the decoder can refuse: a wrong checksum is one", () => {
    expect(readBy(["$IIWPL,5045.6310,N,00118.2090,W,ANCHOR*55"])[0]?.refused).toBeDefined();
  });
});
