/**
 * A night at anchor told in sentences: `night.at(5).fix(0, 0).depth(5)`, then what was alarmed and when. Everything
 * goes through `advance`, as aboard; every sentence that comes out is written, so that one too long would throw.
 */
import { advance, begin, type Core, type CoreSettings, type Input, type Out } from "../../src/core.ts";
import { seal } from "../../src/nmea/seal.ts";
import { encode } from "../../src/nmea/table.ts";
import type { Priority } from "../../src/watch/finding.ts";
import type { WatchSettings } from "../../src/watch/settings.ts";
import { EVENING_MS, INSTRUMENTS, rmc, type SentFix } from "../instruments/aboard.ts";
import { WATCH } from "./aboard.ts";

const wire = { operator: false, acknowledge: true, internal: false, checksum: "required" } as const;

export const CORE: CoreSettings = {
  instruments: INSTRUMENTS,
  watch: WATCH,
  ports: {
    bus: wire,
    wifi: { ...wire, acknowledge: false },
    wheel: { ...wire, operator: true },
    edge: { ...wire, operator: true, internal: true },
  },
  inUse: () => "format",
};

export interface Moment {
  fix(north: number, east?: number, more?: Omit<SentFix, "northM" | "eastM">): Moment;
  heading(deg: number): Moment;
  /** Below the transducer, which is 0.4 m below the water. */
  depth(metres: number): Moment;
  /** Apparent, from the bow. */
  wind(knots: number, fromBowDeg?: number): Moment;
  /** Any body, sealed here. */
  hear(body: string, port?: string): Moment;
  /** What the operator does once this second is over, at the wheel. */
  act(body: string): Moment;
  /** From a display on the bus. */
  acknowledge(alrId: number): Moment;
}

export interface Change {
  atS: number;
  key: string;
  priority: Priority;
  status: string;
  text: string;
  /** Of its state; not of its words alone. */
  isState: boolean;
}

export interface Night {
  at(second: number): Moment;
  /** The same for each second of a span. */
  each(from: number, to: number, tell: (moment: Moment, second: number) => void): Night;
  /** Nothing more is heard until then. */
  until(second: number): Night;
  /** "31 alarm unacknowledged", each change of an alert's state. */
  story(key: string): string[];
  /** First second at which an alert was raised with this priority; undefined: never. */
  raisedAt(key: string, priority?: Priority): number | undefined;
  alarms(): string[];
  changes: Change[];
  out: { atS: number; class: Out["class"]; text: string }[];
  core: Core;
}

export function nightOf(watch: Partial<WatchSettings> = {}): Night {
  const settings: CoreSettings = { ...CORE, watch: { ...WATCH, ...watch } };
  const seconds = (atMs: number): number => (atMs - EVENING_MS) / 1000;
  const night: Night = {
    core: begin(settings, EVENING_MS),
    changes: [],
    out: [],
    at(second) {
      return momentOf(second, feed);
    },
    each(from, to, tell) {
      for (let s = from; s <= to; s++) tell(night.at(s), s);
      return night.until(to);
    },
    until(second) {
      feed({ kind: "tick", atMs: EVENING_MS + second * 1000 });
      return night;
    },
    story: (key) =>
      night.changes
        .filter((change) => change.key === key && change.isState)
        .map(({ atS, priority, status }) => `${atS} ${priority} ${status}`),
    raisedAt: (key, priority) =>
      night.changes.find((one) => one.key === key && one.priority === (priority ?? one.priority))?.atS,
    alarms: () => [...new Set(night.changes.filter((one) => one.priority === "alarm").map((one) => one.key))],
  };
  const feed = (input: Input): void => {
    const { core, out, changes } = advance(night.core, input, settings);
    night.core = core;
    for (const { changedMs, statedMs, key, priority, status, text } of changes) {
      const isState = statedMs === changedMs;
      night.changes.push({ atS: seconds(changedMs), key, priority, status, text, isState });
    }
    for (const one of out)
      night.out.push({ atS: seconds(one.atMs), class: one.class, text: encode(one.sentence) });
  };
  return night;
}

function momentOf(second: number, feed: (input: Input) => void): Moment {
  const duringMs = EVENING_MS + (second - 1) * 1000 + 500;
  const line = (text: string, port: string, atMs = duringMs) => feed({ kind: "line", text, port, atMs });
  const moment: Moment = {
    fix(northM, eastM = 0, more = {}) {
      return moment.hear(rmc(second, { northM, eastM, ...more }));
    },
    heading: (deg) => moment.hear(`HEHDT,${deg.toFixed(1)},T`),
    depth: (metres) => moment.hear(`SDDBT,,f,${metres.toFixed(2)},M,,F`),
    wind: (knots, deg = 0) => moment.hear(`WIMWV,${deg.toFixed(1)},R,${knots.toFixed(1)},N,A`),
    hear(body, port = "bus") {
      line(body.startsWith("$") ? body : seal(body), port);
      return moment;
    },
    act(body) {
      line(seal(`PRDW,${body}`), "wheel", EVENING_MS + second * 1000);
      return moment;
    },
    acknowledge(alrId) {
      line(seal(`IIACK,${alrId}`), "bus", EVENING_MS + second * 1000);
      return moment;
    },
  };
  return moment;
}

/** Fix, heading, depth and wind of a boat lying `metres` south of the anchorage, bow north, wind ahead. */
export function lying(moment: Moment, metres: number, { depthM = 4.6, windKn = 12 } = {}): Moment {
  return moment.fix(-metres).heading(0).depth(depthM).wind(windKn);
}
