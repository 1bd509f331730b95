/**
 * Days on watch at high speed, an alarm and its acknowledgement every hour: memory, descriptors, timers and listeners
 * stay flat. Two simulated hours here; by hand, for 72:
 *   HOURS=72 RODEWARD_BUILT=1 nice -n 15 npx vitest run --config tests/vitest.config.ts tests/faults/long-watch
 */
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterEach, expect, test } from "vitest";
import { seal, tagBlock } from "../../src/nmea/seal.ts";
import {
  acn,
  BUS,
  boatConfig,
  bodiesAt,
  type Child,
  connectTo,
  createFolder,
  DISPLAYS,
  endChildren,
  freePorts,
  type Peer,
  rodeward,
} from "../aboard/afloat.ts";
import { until } from "../ports/ear.ts";

const HOURS = Number(process.env.HOURS ?? 2);
/** At this speed some thousand seconds wait in memory for each write to the card; at a boat's rate five do. */
const LIMIT_MB = 200;
const T0 = Date.UTC(2026, 5, 15, 22, 0, 0);

const folder = createFolder();
afterEach(() => {
  endChildren();
  folder.remove();
});

interface Look {
  hour: number;
  residentMB: number;
  peakMB: number;
  heapMB: number;
  descriptors: number;
  timers: number;
  listeners: number;
}

async function look(child: Child, hour: number): Promise<Look> {
  const pid = child.process.pid ?? 0;
  // What is being written to the card just now is no leak.
  await new Promise((resolve) => setTimeout(resolve, 1500));
  const probes = () => [...child.err().matchAll(/^PROBE (.*)$/gm)].map(([, json]) => json ?? "");
  const before = probes().length;
  child.process.kill("SIGUSR2");
  await until(() => probes().length > before, "the probe", 10_000);
  const status = readFileSync(`/proc/${pid}/status`, "utf8");
  const megabytes = (name: string) => Number(new RegExp(`${name}:\\s+(\\d+)`).exec(status)?.[1]) / 1024;
  return {
    hour,
    residentMB: Math.round(megabytes("VmRSS")),
    peakMB: Math.round(megabytes("VmHWM")),
    descriptors: readdirSync(`/proc/${pid}/fd`).length,
    ...JSON.parse(probes().at(-1) ?? "{}"),
  };
}

/** A boat that swings, and once an hour lies far outside her circle for two minutes. */
function eastAt(s: number): number {
  const inHour = s % 3600;
  const away = Math.min(Math.max(0, inHour - 3000), Math.max(0, 3240 - inHour)) * 2;
  return 8 * Math.sin(s / 90) + away;
}

function linesAt(s: number): string {
  const atMs = T0 + s * 1000;
  const place = bodiesAt(atMs, { eastM: eastAt(s), depthM: 6 + 0.3 * Math.sin(s / 3000) });
  const wind = [`WIMWV,${(10 + (s % 7)).toFixed(1)},R,${(9 + (s % 5)).toFixed(1)},N,A`];
  const acts = s === 10 ? ["PRDW,LETGO", "PRDW,RODE,30,M", "PRDW,BROUGHTUP"] : [];
  const sealed = [...place, ...wind, ...acts].map((body) => seal(body));
  // Whoever is aboard looks, and acknowledges.
  const seen = s % 3600 === 3200 ? [acn(10802, "A"), acn(10801, "A"), acn(10808, "A")] : [];
  return [...sealed, ...seen].map((text) => `${tagBlock(atMs, "bus")}${text}\r\n`).join("");
}

/** Waits until all is handled; returns how often the circle was alarmed since the last time. */
async function handled(display: Peer, bus: Peer, s: number): Promise<number> {
  const answers = () => display.lines.filter((one) => one.includes("PRDW,ACK,EXPECT")).length;
  const before = answers();
  await bus.say(`${tagBlock(T0 + s * 1000, "bus")}${seal("PRDW,EXPECT,20,N")}`);
  await until(() => answers() > before, "all to be handled", 60_000);
  const heard = display.lines.splice(0);
  return heard.filter((one) => /IIALR,[^,]*,802,A,V/.test(one)).length;
}

test(`${HOURS} hours on watch: nothing grows`, { timeout: 90_000 + HOURS * 60_000 }, async () => {
  const [busPort = 0, displayPort = 0] = await freePorts(2);
  const at = (text: string, port: number) => text.replace("127.0.0.1:0", `127.0.0.1:${port}`);
  const file = join(folder.path, "boat.toml");
  writeFileSync(file, boatConfig(at(BUS, busPort) + at(DISPLAYS, displayPort)));
  const probe = fileURLToPath(new URL("probe.mjs", import.meta.url));
  // As in the unit: the engine gives back what it can before it grows.
  const options = `--import=${probe} --expose-gc --max-old-space-size=96`;
  const child = rodeward(["run", "--config", file], { STATE_DIRECTORY: folder.path, NODE_OPTIONS: options });
  const bus = await connectTo(`127.0.0.1:${busPort}`, 15_000);
  const display = await connectTo(`127.0.0.1:${displayPort}`);

  const looks: Look[] = [];
  let alarms = 0;
  for (let s = 0, hour = 0; hour < HOURS; hour++) {
    for (const end = (hour + 1) * 3600; s < end; s += 20) {
      let text = "";
      for (let i = s; i < s + 20; i++) text += linesAt(i);
      await bus.say(text.trimEnd());
      if (s % 600 === 580) alarms += await handled(display, bus, s + 20);
    }
    looks.push(await look(child, hour + 1));
    if (HOURS > 5) console.log(JSON.stringify(looks.at(-1)));
  }
  const [first] = looks;
  const last = looks.at(-1);
  if (first === undefined || last === undefined) throw new Error("not looked at");
  expect(alarms).toBeGreaterThanOrEqual(HOURS);
  expect(last.descriptors).toBeLessThanOrEqual(first.descriptors + 4);
  expect(last.timers).toBeLessThanOrEqual(first.timers + 2);
  expect(last.listeners).toBeLessThanOrEqual(first.listeners + 2);
  expect(last.heapMB).toBeLessThan(first.heapMB + 8);
  expect(last.residentMB).toBeLessThan(first.residentMB + 40);
  expect(last.peakMB).toBeLessThan(LIMIT_MB);
  expect(child.err()).not.toMatch(/"level":[56]0/);
  bus.close();
  display.close();
});
