/** A boat for the page to show: plausible figures, and answers that the tests set. */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { BoatState, StateAlert, TrackAnswer } from "../../src/page/boat-state.ts";
import type { ActAnswer, CommandAnswer, PageDeps, PageLog, PageSettings } from "../../src/page/page.ts";

export const silentLog: PageLog = { info: () => {}, warn: () => {}, error: () => {} };

/** Riding in 6.9 m on 47 m of rode: scope 47 / (6.9 + 1.1) = 5.875. */
export function ridingState(): BoatState {
  return {
    at: "2026-06-15T01:10:05Z",
    phase: "riding",
    callout: "No drag. Held 18 kn at 01:10. Rode 5.8 to 1, want 5.",
    position: { lat: 54.46821, lon: 10.38214, ageS: 1, source: "bow-gps" },
    depth: { surfaceM: 6.9, underKeelM: 6.1, ageS: 1, source: "bus" },
    wind: {
      fromDeg: 226,
      meanKn: 13.2,
      gustKn: 18.1,
      apparentDeg: 352,
      apparentKn: 14,
      ageS: 2,
      source: "bus",
    },
    headingDeg: 234,
    sogKn: 0.3,
    cogDeg: 120,
    rode: { outM: 47, source: "operator", uncertaintyM: null, requiredM: 39.6 },
    scope: { now: 5.875, atHighWater: 5.47, target: 5 },
    pull: { loadN: 421, deg: 0, groundedM: 4.2 },
    anchor: {
      lat: 54.46803,
      lon: 10.38161,
      uncertaintyM: 1.8,
      rangeM: 49.4,
      bearingDeg: 227,
      movedM: 0.6,
      movedSdM: 1.1,
      since: null,
    },
    circle: { radiusM: 66.3, outside: false },
    receiver: { wanderM: 2.1, velocity: "alive", words: null },
    guidance: null,
    alerts: [],
    ports: [
      {
        name: "bus",
        kind: "serial",
        state: "up",
        lines: 81234,
        refused: 3,
        sent: 5120,
        dropped: 4,
        replaced: 17,
      },
    ],
    drawing: null,
  };
}

/** Just switched on: nothing has been heard, but for a depth that went missing ten minutes ago. */
export function bareState(): BoatState {
  const none = { ageS: null, source: null };
  return {
    at: "2026-06-15T01:10:05Z",
    phase: "underway",
    callout: null,
    position: { lat: null, lon: null, ...none },
    depth: { surfaceM: null, underKeelM: null, ageS: 600, source: "bus" },
    wind: { fromDeg: null, meanKn: null, gustKn: null, apparentDeg: null, apparentKn: null, ...none },
    headingDeg: null,
    sogKn: null,
    cogDeg: null,
    rode: { outM: null, source: null, uncertaintyM: null, requiredM: null },
    scope: { now: null, atHighWater: null, target: null },
    pull: { loadN: null, deg: null, groundedM: null },
    anchor: {
      lat: null,
      lon: null,
      uncertaintyM: null,
      rangeM: null,
      bearingDeg: null,
      movedM: null,
      movedSdM: null,
      since: null,
    },
    circle: { radiusM: null, outside: null },
    receiver: { wanderM: null, velocity: null, words: null },
    guidance: null,
    alerts: [],
    ports: [],
    drawing: null,
  };
}

/** The same night two hours later: 27 kn, and the anchor has moved 14 m. */
export function draggingState(): BoatState {
  const riding = ridingState();
  return {
    ...riding,
    at: "2026-06-15T02:17:20Z",
    callout: "Dragging. 14 ± 3 m NE since 02:14. Still going.",
    wind: { ...riding.wind, fromDeg: 224, meanKn: 27, gustKn: 33.6 },
    sogKn: 0.6,
    rode: { ...riding.rode, requiredM: 56 },
    scope: { now: 5.875, atHighWater: 5.47, target: 7 },
    pull: { loadN: 2180, deg: 6.8, groundedM: 0 },
    anchor: { ...riding.anchor, rangeM: 63.8, movedM: 14, movedSdM: 3, since: "2026-06-15T02:14:00Z" },
    alerts: [dragging, scopeShort],
  };
}

export const dragging: StateAlert = {
  key: "dragging",
  id: 10801,
  priority: "alarm",
  state: "unacknowledged",
  since: "2026-06-15T02:14:00Z",
  text: "14 ± 3 m NE since 02:14. Still going.",
};

export const scopeShort: StateAlert = {
  key: "scope-short",
  id: 10803,
  priority: "warning",
  state: "unacknowledged",
  since: "2026-06-15T02:10:00Z",
  text: "Veer 9 m: 5.8 to 1, want 7",
};

export function noTrack(): TrackAnswer {
  const none = { atMs: [], lat: [], lon: [], rangeMinM: [], rangeMaxM: [], circleM: [], scope: [] };
  return { ...none, windKn: [], gustKn: [], marks: [] };
}

export interface Stage {
  state: BoatState;
  track: TrackAnswer;
  bodies: string[];
  commands: string[];
  nextAct: ActAnswer;
  nextCommand: CommandAnswer;
  isHealthy: boolean;
  atMs: number;
  deps: PageDeps;
}

export function createStage(): Stage {
  const stage: Stage = {
    state: ridingState(),
    track: noTrack(),
    bodies: [],
    commands: [],
    nextAct: { ok: true },
    nextCommand: { ok: true },
    isHealthy: true,
    atMs: Date.parse("2026-06-15T01:10:05Z"),
    deps: {
      state: () => stage.state,
      track: () => stage.track,
      act(body) {
        stage.bodies.push(body);
        return stage.nextAct;
      },
      command(key, command) {
        stage.commands.push(`${command} ${key}`);
        return stage.nextCommand;
      },
      metrics: () => "# TYPE rodeward_lines_total counter\nrodeward_lines_total 81234\n",
      healthy: () => ({ ok: stage.isHealthy, why: stage.isHealthy ? "on watch" : "no position since 01:02" }),
      nowMs: () => stage.atMs,
    },
  };
  return stage;
}

export interface Folder {
  path: string;
  remove(): void;
}

export function createFolder(): Folder {
  const path = mkdtempSync(join(tmpdir(), "rodeward-page-"));
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}

export function settingsIn(folder: Folder, clientRoot?: string): PageSettings {
  return {
    listen: { host: "127.0.0.1", port: 0 },
    units: "metric",
    pinFile: join(folder.path, "state", "page-keys.json"),
    ...(clientRoot === undefined ? {} : { clientRoot }),
  };
}

const ROOT = fileURLToPath(new URL("../..", import.meta.url));

/** Where the client lies as the build has left it. */
export const BUILT = join(ROOT, "dist");
