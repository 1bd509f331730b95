import { join } from "node:path";
import { expect, test } from "vitest";
import { nightsForPage } from "../../src/aboard/nights.ts";
import { buildPage } from "../../src/page/server.ts";
import { createStage } from "../page/stage.ts";
import { boatInputs, STAY_ACTS } from "./boat-lines.ts";
import { openLog, play, temporary } from "./kept-night.ts";

async function pageOn(directory: string) {
  const settings = {
    listen: { host: "127.0.0.1", port: 0 },
    units: "metric",
    pinFile: join(directory, "pin.json"),
  } as const;
  const quiet = { info: () => {}, warn: () => {}, error: () => {} };
  const page = await buildPage(settings, { ...createStage().deps, nights: nightsForPage(directory) }, quiet);
  const get = (url: string) => page.app.inject({ method: "GET", url, headers: { host: "localhost" } });
  return { get, close: () => page.close() };
}

test("nights are listed, plotted and taken away from the page", async () => {
  const directory = temporary();
  const page = await pageOn(directory);
  expect((await page.get("/api/nights")).json()).toEqual([]);
  expect((await page.get("/api/nights/1")).statusCode).toBe(404);

  const log = openLog(directory);
  await play(boatInputs({ seconds: 900, acts: STAY_ACTS }), [log.take]);
  log.flush();
  // Looked at while it is being kept.
  const list = (await page.get("/api/nights")).json();
  expect(list).toHaveLength(1);
  expect(list[0]).toMatchObject({ id: 1, ended: null, rodeM: 40 });
  const series = (await page.get("/api/nights/1?width=100")).json();
  expect(series.atS).toHaveLength(100);
  expect(series.bands.depthM.max).toHaveLength(100);
  expect(series.night.phases.map(({ phase }: { phase: string }) => phase)).toEqual(["let-go", "riding"]);
  expect(series.night.config).toBeUndefined();

  const gpx = await page.get("/api/nights/1.gpx");
  expect([gpx.statusCode, gpx.headers["content-type"]]).toEqual([200, "application/gpx+xml; charset=utf-8"]);
  expect(gpx.body).toContain("</gpx>");
  const csv = await page.get("/api/nights/1.csv");
  expect(csv.headers["content-disposition"]).toBe('attachment; filename="night-1.csv"');
  expect(csv.body.startsWith("time (UTC),")).toBe(true);
  const nmea = await page.get("/api/nights/1.nmea");
  expect(nmea.rawPayload.toString("latin1")).toMatch(/^\\c:\d+,s:rehearsal\*/);
  expect(nmea.body.trimEnd().split("\r\n").length).toBeGreaterThan(3000);
  await log.close();
  await page.close();
});

test("what is not there, or not asked well, is refused in the page's way", async () => {
  const directory = temporary();
  const page = await pageOn(directory);
  for (const path of [
    "/api/nights/7",
    "/api/nights/7.gpx",
    "/api/nights/x",
    "/api/nights/1.kml",
    "/api/nights/99999999999999999999",
  ])
    expect((await page.get(path)).statusCode, path).toBe(404);
  expect((await page.get("/api/nights/1?width=5")).statusCode).toBe(400);
  expect((await page.get("/api/nights/7")).json()).toMatchObject({ reason: "path" });
  await page.close();
});
