import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { replay } from "../../src/cli/replay.ts";
import { compared, rerun } from "../../src/cli/rerun.ts";
import { coreSettings } from "../../src/config/settings.ts";
import { recordOf } from "../../src/nightlog/exports/csv.ts";
import { geojsonOf } from "../../src/nightlog/exports/geojson.ts";
import { type ExportKind, exportOf } from "../../src/nightlog/exports/night-export.ts";
import { nmeaOf } from "../../src/nightlog/exports/nmea.ts";
import { type Night, openReview, type Review } from "../../src/nightlog/review.ts";
import type { TrackPoint } from "../../src/nightlog/track-row.ts";
import { seal } from "../../src/nmea/seal.ts";
import { boatInputs, STAY_ACTS, wander } from "./boat-lines.ts";
import { boatConfig, openLog, type Played, play } from "./kept-night.ts";

let directory: string;
let review: Review;
let night: Night;
let played: Played;

beforeAll(async () => {
  directory = mkdtempSync(join(tmpdir(), "rodeward-exports-"));
  const log = openLog(directory);
  const northM = (s: number) => Math.max(0, 100 - Math.abs(s - 1000)) + wander(s);
  // A fact of the edges in it: it raises an alert, and must do so again in the replay.
  const course = { seconds: 1400, northM, acts: STAY_ACTS };
  const inputs = [...boatInputs(course)];
  const at = inputs[3400]?.atMs ?? 0;
  const fact = (value: string, atMs: number) =>
    ({ kind: "line", text: seal(`PRDW,FACT,port-down,${value}`), port: "edge", atMs }) as const;
  inputs.splice(3400, 0, fact("1,bus: unplugged", at));
  inputs.splice(3500, 0, fact("0", inputs[3500]?.atMs ?? 0));
  played = await play(inputs, [log.take]);
  await log.close();
  const opened = openReview(directory);
  const first = opened?.night(1);
  if (opened === undefined || first === undefined) throw new Error("no night");
  [review, night] = [opened, first];
});
afterAll(() => {
  review.close();
  rmSync(directory, { recursive: true, force: true });
});

const textOf = (kind: ExportKind): string => [...exportOf(review, night, kind)].join("");

test("exported sentences replay to the very alerts that there were", async () => {
  const file = join(directory, "night.nmea");
  writeFileSync(file, Buffer.from(textOf("nmea"), "latin1"));
  const again = await replay(
    [file],
    {
      config: boatConfig(),
      clock: { kind: "auto" },
      fromMs: undefined,
      speed: undefined,
      letGoMs: undefined,
      rodeM: undefined,
      only: undefined,
      jsonFile: undefined,
      ignoreOperator: false,
    },
    { out: () => {}, err: () => {} },
  );
  const since = (list: typeof again.alerts) =>
    list.map(({ key, priority, raisedAt, alarmAt, clearedAt, text }) => ({
      key,
      priority,
      text,
      raisedMs: Date.parse(raisedAt),
      alarmMs: alarmAt === null ? null : Date.parse(alarmAt),
      clearedMs: clearedAt === null ? null : Date.parse(clearedAt),
    }));
  const kept = night.alertList.map(({ states: _states, ...alert }) => alert);
  expect(kept.map(({ key }) => key)).toEqual(expect.arrayContaining(["outside-circle", "port-down"]));
  expect(since(again.alerts)).toEqual(kept);
  expect(again.phases.map(({ phase }) => phase)).toEqual([
    "underway",
    "let-go",
    "riding",
    "weighing",
    "underway",
  ]);
  expect(again.lines).toBe(night.raw.lines);
});

test("a rerun under the same settings finds the same, under a closer circle an alarm earlier", async () => {
  const lines = [...review.lines(1)];
  const config = boatConfig();
  const percents: number[] = [];
  const options = { total: lines.length, progress: (percent: number) => percents.push(percent) };
  const same = await rerun(lines, coreSettings(config, { utc: "given", ignoreOperator: false }), options);
  const pairs = compared(night.alertList, same?.alerts ?? [], Date.parse(night.letGo));
  expect(pairs.length).toBe(night.alertList.length);
  for (const { was, now } of pairs) expect(now?.raisedMs).toBe(was?.raisedMs);
  expect(percents.length).toBeGreaterThan(0);
  expect(percents).toEqual([...percents].sort((a, b) => a - b));

  const closer = { ...config, watch: { ...config.watch, margin: 2 } };
  const other = await rerun(lines, coreSettings(closer, { utc: "given", ignoreOperator: false }), options);
  const outside = compared(night.alertList, other?.alerts ?? [], Date.parse(night.letGo)).find(
    ({ key }) => key === "outside-circle",
  );
  expect(outside?.now?.raisedMs).toBeLessThan((outside?.was?.raisedMs ?? 0) - 5000);

  const calmer = { ...config, watch: { ...config.watch, margin: 200 } };
  const none = await rerun(lines, coreSettings(calmer, { utc: "given", ignoreOperator: false }), options);
  const gone = compared(night.alertList, none?.alerts ?? [], Date.parse(night.letGo));
  expect(gone.find(({ key }) => key === "outside-circle")).toMatchObject({ now: null });
});

test("a rerun can be ended early", async () => {
  const stopping = new AbortController();
  const settings = coreSettings(boatConfig(), { utc: "given", ignoreOperator: false });
  const options = { total: 5000, progress: () => stopping.abort(), signal: stopping.signal };
  expect(await rerun(review.lines(1), settings, options)).toBeUndefined();
});

test("a recorder's own TAG block gives way to ours", () => {
  const line = { text: "\\s:gps,c:1781467200*1A\\$IIHDT,20.0,T*10", port: "bus", atMs: 1_781_467_200_123 };
  expect([...nmeaOf([line])].join("")).toMatch(
    /^\\c:1781467200123,s:bus\*[0-9A-F]{2}\\\$IIHDT,20\.0,T\*10\r\n$/,
  );
});

/** Facts of the schema topografix.com/GPX/1/1/gpx.xsd: children allowed, in this order. */
const GPX_CHILDREN: Readonly<Record<string, readonly string[]>> = {
  gpx: ["metadata", "wpt", "rte", "trk", "extensions"],
  metadata: ["name", "desc", "author", "copyright", "link", "time", "keywords", "bounds", "extensions"],
  wpt: "ele time magvar geoidheight name cmt desc src link sym type fix sat hdop vdop pdop ageofdgpsdata dgpsid extensions".split(
    " ",
  ),
  trk: ["name", "cmt", "desc", "src", "link", "number", "type", "extensions", "trkseg"],
  trkseg: ["trkpt", "extensions"],
};

interface Element {
  name: string;
  attributes: Record<string, string>;
  children: Element[];
  text: string;
}

/** Enough of XML for what is written here; throws where elements do not nest. */
function parsed(xml: string): Element {
  const root: Element = { name: "", attributes: {}, children: [], text: "" };
  const open = [root];
  const body = xml.replace(/^<\?xml[^>]*\?>\s*/, "");
  for (const [, close, name = "", rest = "", empty, text] of body.matchAll(
    /<(\/?)([\w:]+)([^<>]*?)(\/?)>|([^<]+)/g,
  )) {
    const top = open.at(-1);
    if (top === undefined) throw new Error("text after the end");
    if (text !== undefined) top.text += text;
    else if (close === "/") {
      if (open.pop()?.name !== name) throw new Error(`</${name}> closes nothing`);
    } else {
      const attributes = Object.fromEntries(
        [...rest.matchAll(/([\w:]+)="([^"]*)"/g)].map(([, key, value]) => [key, value]),
      );
      const element = { name, attributes, children: [], text: "" };
      top.children.push(element);
      if (empty !== "/") open.push(element);
    }
  }
  if (open.length !== 1) throw new Error(`<${open.at(-1)?.name}> is left open`);
  return root.children[0] as Element;
}

function checkGpx(element: Element): void {
  const kind = element.name === "trkpt" ? "wpt" : element.name;
  const order = GPX_CHILDREN[kind];
  if (order === undefined) return;
  const places = element.children.map(({ name }) => order.indexOf(name));
  expect(places, element.name).not.toContain(-1);
  expect(places, element.name).toEqual([...places].sort((a, b) => a - b));
  if (kind === "wpt") {
    // latitudeType -90 to 90; longitudeType from -180 and below 180.
    expect(Math.abs(Number(element.attributes.lat))).toBeLessThanOrEqual(90);
    expect(Number(element.attributes.lon)).toBeGreaterThanOrEqual(-180);
    expect(Number(element.attributes.lon)).toBeLessThan(180);
  }
  for (const child of element.children) {
    if (child.name === "time") expect(child.text).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?Z$/);
    checkGpx(child);
  }
}

test("GPX keeps to its schema: elements, their order, ranges, times", () => {
  const text = textOf("gpx");
  const gpx = parsed(text);
  expect(gpx.attributes).toMatchObject({
    version: "1.1",
    creator: "rodeward",
    xmlns: "http://www.topografix.com/GPX/1/1",
  });
  checkGpx(gpx);
  const track = gpx.children.find(({ name }) => name === "trk");
  const points =
    track?.children.filter(({ name }) => name === "trkseg").flatMap(({ children }) => children) ?? [];
  expect(points.length).toBe([...review.track(1)].filter(({ position }) => position !== undefined).length);
  const waypoints = gpx.children.filter(({ name }) => name === "wpt");
  expect(waypoints).toHaveLength(1 + night.alertList.length);
});

/** libxml2's own validator, where it is installed. */
const hasXmllint = spawnSync("xmllint", ["--version"]).error === undefined;

test.skipIf(!hasXmllint)("GPX is valid by xmllint, which finds what is not", () => {
  const schema = join(import.meta.dirname, "../../fixtures/nightlog/gpx-1-1.xsd");
  const validate = (input: string) =>
    spawnSync("xmllint", ["--noout", "--nonet", "--schema", schema, "-"], { input, encoding: "utf8" });
  const text = textOf("gpx");
  expect(validate(text)).toMatchObject({ status: 0, stderr: "- validates\n" });
  expect(validate(text.replace("<name>", "<nom>").replace("</name>", "</nom>")).status).not.toBe(0);
  expect(validate(text.replace(/lat="[^"]*"/, 'lat="91"')).status).not.toBe(0);
  expect(validate(text.replace(/<time>[^<]*</, "<time>yesterday<")).status).not.toBe(0);
});

test("GPX escapes what a place may be called", () => {
  const strange = { ...night, place: 'Bay <of> "Fish" & Chips\u0007' };
  const text = [...exportOf({ ...review, track: () => [][Symbol.iterator]() as never }, strange, "gpx")].join(
    "",
  );
  expect(text).toContain("Bay &lt;of&gt; &quot;Fish&quot; &amp; Chips?");
  checkGpx(parsed(text));
});

/** RFC 4180, section 2: records end in CRLF, all with as many fields; quotes are doubled within quotes. */
function csvRecords(text: string): string[][] {
  expect(text.endsWith("\r\n")).toBe(true);
  const records: string[][] = [[]];
  let at = 0;
  while (at < text.length) {
    const field = /^(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n)/.exec(text.slice(at, at + 2000));
    if (field === null) throw new Error(`no field at ${at}`);
    records.at(-1)?.push((field[1] ?? "").replaceAll('""', '"') || (field[2] ?? ""));
    if (field[3] === "\r\n") records.push([]);
    at += field[0].length;
  }
  return records.slice(0, -1);
}

test("CSV keeps to RFC 4180, with units in its header and absent fields empty", () => {
  const [header = [], ...records] = csvRecords(textOf("csv"));
  expect(header.slice(0, 4)).toEqual([
    "time (UTC)",
    "latitude (deg)",
    "longitude (deg)",
    "range to anchor (m)",
  ]);
  for (const name of header)
    expect(name === "scope" || name === "target scope" || /\(.+\)$/.test(name), name).toBe(true);
  for (const record of records) expect(record).toHaveLength(header.length);
  expect(records).toHaveLength([...review.track(1)].length);
  // Before the let go there is no range.
  expect(records[0]?.[3]).toBe("");
  expect(csvRecords(recordOf(['a "b", c', "d\r\ne", 5, undefined]))).toEqual([
    ['a "b", c', "d\r\ne", "5", ""],
  ]);
});

test("GeoJSON keeps to RFC 7946: longitude first, lines of two places or more, no crs", () => {
  const data = JSON.parse(textOf("geojson"));
  expect(data.type).toBe("FeatureCollection");
  expect(data.crs).toBeUndefined();
  const [track, anchor, ...alerts] = data.features;
  for (const feature of data.features)
    expect(Object.keys(feature).sort()).toEqual(["geometry", "properties", "type"]);
  expect(track.geometry.type).toBe("MultiLineString");
  for (const line of track.geometry.coordinates) {
    expect(line.length).toBeGreaterThan(1);
    for (const [lon, lat] of line) {
      expect(Math.abs(lon + 0.2)).toBeLessThan(0.01);
      expect(Math.abs(lat - 50.5)).toBeLessThan(0.01);
    }
  }
  expect(anchor.geometry.type).toBe("Point");
  expect(alerts.map(({ properties }: { properties: { key: string } }) => properties.key)).toEqual(
    night.alertList.map(({ key }) => key),
  );
});

test("a track over the antimeridian is cut there (RFC 7946, 3.1.9)", () => {
  const point = (lonDeg: number, s: number) =>
    ({ position: { latDeg: 10 + s, lonDeg }, atMs: 1_781_467_200_000 + s * 1000 }) as TrackPoint;
  const points = [point(179.99, 0), point(179.995, 1), point(-179.995, 2), point(-179.99, 3)];
  const data = JSON.parse([...geojsonOf({ ...night, alertList: [] }, points)].join(""));
  expect(data.features[0].geometry.coordinates).toEqual([
    [
      [179.99, 10],
      [179.995, 11],
      [180, 11.5],
    ],
    [
      [-180, 11.5],
      [-179.995, 12],
      [-179.99, 13],
    ],
  ]);
  expect(played.summary.lines).toBeGreaterThan(0);
});
