/** A boat on watch, in plain data: settings, pictures and states to start from. */
import { configSchema } from "../../src/config/schema.ts";
import { watchSettings } from "../../src/config/settings.ts";
import { noInstruments, observe, type Picture } from "../../src/instruments/picture.ts";
import { seal } from "../../src/nmea/seal.ts";
import type { Order } from "../../src/nmea/sentences/own.ts";
import { moved, type Position } from "../../src/units/position.ts";
import { fromKn } from "../../src/units/speed.ts";
import { act } from "../../src/watch/acts.ts";
import type { WatchSettings } from "../../src/watch/settings.ts";
import { beginWatch, type Phase, type WatchState } from "../../src/watch/state.ts";
import { step, type Watched } from "../../src/watch/step.ts";
import { ANCHORAGE, EVENING_MS, INSTRUMENTS } from "../instruments/aboard.ts";
import { sentenceIn } from "../nmea/sentence-in.ts";

const config = configSchema.parse({
  boat: {
    length: "9.2 m",
    beam: "3.1 m",
    draught: "0.8 m",
    roller_height: "1.1 m",
    roller_to_antenna: "6 m",
  },
  transducer: { below_water: "0.4 m" },
  rode: { chain: "8 m", chain_diameter: "8 mm", rope: "60 m", rope_diameter: "14 mm" },
  forecast: { wind: "10 kn" },
});

/** The boat of the example configuration, with its defaults: margin 15 m, leave after 30 s, limits 20 and 28 kn. */
export const WATCH: WatchSettings = watchSettings(config);

const at = (atS: number): number => EVENING_MS + atS * 1000;

/** A place so many metres north and east of the anchorage. */
export const place = (north: number, east = 0): Position => moved(ANCHORAGE, { north, east });

/** A picture with nothing in it but what is given, "now" unless it says otherwise. */
export function pictured(atS: number, known: Partial<Picture> = {}): Picture {
  const { picture } = observe(noInstruments(), [], INSTRUMENTS, at(atS));
  return { ...picture, utcOffsetMs: 0, ...known };
}

const known = <T>(value: T, atS: number) => ({ value, source: "bus/II", atMs: at(atS) });

/** The pieces of a picture, fresh at that second. */
export const seen = {
  fix: (atS: number, north: number, east = 0): Partial<Picture> => ({
    position: known(place(north, east), atS),
    lastFix: { position: place(north, east), atMs: at(atS), source: "bus/GP" },
  }),
  heading: (atS: number, deg: number): Partial<Picture> => ({ headingDeg: known(deg, atS) }),
  depth: (
    atS: number,
    surfaceM: number,
    underKeelM: number | undefined = surfaceM - 0.8,
  ): Partial<Picture> => ({
    depth: known({ surfaceM, underKeelM, referenceKnown: true }, atS),
  }),
  wind: (
    atS: number,
    meanKn: number,
    gustKn: number,
    fromDeg: number | undefined = 200,
  ): Partial<Picture> => ({
    wind: known({ speedMps: fromKn(meanKn), fromDeg }, atS),
    windMean: { speedMps: fromKn(meanKn), fromDeg, gustMps: fromKn(gustKn), overS: 600 },
  }),
  counted: (atS: number, lengthM: number): Partial<Picture> => ({ rodeCountedM: known(lengthM, atS) }),
};

/** `RODE,35.0,M` → the order. */
export function orderOf(body: string): Order {
  const sentence = sentenceIn(seal(`PRDW,${body}`));
  if (sentence.id !== "PRDW" || sentence.content?.order === undefined)
    throw new Error(`${body} is no order: ${JSON.stringify(sentence)}`);
  return sentence.content.order;
}

/** A state after acts at its second 0, with a fix at the anchorage, heading north, and 5 m of water. */
export function stateAfter(...acts: string[]): WatchState {
  const picture = pictured(0, { ...seen.fix(0, 0), ...seen.heading(0, 0), ...seen.depth(0, 5) });
  return acts.reduce((state, body) => {
    const answer = act(state, orderOf(body), picture, WATCH);
    if (!answer.ok) throw new Error(`${body}: ${answer.reason}`);
    return answer.state;
  }, beginWatch(EVENING_MS));
}

export const PHASES: Readonly<Record<Phase, () => WatchState>> = {
  underway: () => stateAfter(),
  "let-go": () => stateAfter("LETGO"),
  riding: () => stateAfter("LETGO", "RODE,35.0,M", "BROUGHTUP"),
  weighing: () => stateAfter("LETGO", "RODE,35.0,M", "BROUGHTUP", "WEIGH"),
};

export interface Watch {
  state: WatchState;
  /** One second with this known. */
  second(atS: number, ...known: Partial<Picture>[]): Watched;
  act(atS: number, body: string, ...known: Partial<Picture>[]): Watch;
  /** "alarm outside-circle" and so on, of the last second. */
  found(): string[];
  textOf(key: string): string | undefined;
}

export function watchOf(state: WatchState, settings: Partial<WatchSettings> = {}): Watch {
  const all = { ...WATCH, ...settings };
  let last: Watched | undefined;
  const watch: Watch = {
    state,
    second(atS, ...parts) {
      last = step(watch.state, pictured(atS, Object.assign({}, ...parts)), all);
      watch.state = last.state;
      return last;
    },
    act(atS, body, ...parts) {
      const answer = act(watch.state, orderOf(body), pictured(atS, Object.assign({}, ...parts)), all);
      if (!answer.ok) throw new Error(`${body}: ${answer.reason}`);
      watch.state = answer.state;
      return watch;
    },
    found: () => (last?.findings ?? []).map(({ priority, key }) => `${priority} ${key}`),
    textOf: (key) => last?.findings.find((one) => one.key === key)?.text,
  };
  return watch;
}
