/**
 * What the watch needs, which source meets each need, and what a missing one weakens. In: the pictures of the
 * seconds listened to, and the configuration; out: rows for a person.
 */
import type { Config } from "../config/schema.ts";
import type { Core } from "../core.ts";
import type { Known } from "../instruments/channel.ts";
import type { Picture } from "../instruments/picture.ts";
import { toKn } from "../units/speed.ts";
import { formatInstant } from "../units/time.ts";
import { positionInWords } from "./value-words.ts";

export interface Need {
  what: string;
  source: string;
  value: string;
  /** Empty: nothing. */
  weakens: string;
}

const MISSING = "missing";

/** The last of each that was known while listening; a sensor that speaks every 8 s is no missing one. */
export interface Seen {
  position: Picture["position"];
  depth: Picture["depth"];
  wind: Picture["wind"];
  apparentWind: Picture["apparentWind"];
  headingDeg: Picture["headingDeg"];
  motion: Picture["motion"];
  utcMs: number | undefined;
  magneticOnly: string | undefined;
}

export const NOTHING_SEEN: Seen = {
  position: undefined,
  depth: undefined,
  wind: undefined,
  apparentWind: undefined,
  headingDeg: undefined,
  motion: undefined,
  utcMs: undefined,
  magneticOnly: undefined,
};

export function seeing(seen: Seen, core: Core): Seen {
  const { picture } = core.last;
  const raw = Object.values(core.instruments.channels.heading.readings)[0];
  return {
    position: picture.position ?? seen.position,
    depth: picture.depth ?? seen.depth,
    wind: picture.wind ?? seen.wind,
    apparentWind: picture.apparentWind ?? seen.apparentWind,
    headingDeg: picture.headingDeg ?? seen.headingDeg,
    motion: picture.motion ?? seen.motion,
    utcMs: picture.utcOffsetMs === undefined ? seen.utcMs : picture.atMs + picture.utcOffsetMs,
    magneticOnly: raw?.source ?? seen.magneticOnly,
  };
}

/** @param hearers ports and hooks by which an alarm could be heard at this moment */
export function needsOf(seen: Seen, config: Config, hearers: readonly string[]): Need[] {
  return [
    met("position", seen.position, positionInWords, "no watch can be kept: neither circle nor drag"),
    surfaceDepth(seen, config),
    keelDepth(seen, config),
    wind(seen, config),
    heading(seen),
    met(
      "course and speed",
      seen.motion,
      ({ sogMps, cogDeg }) =>
        `${toKn(sogMps).toFixed(1)} kn${cogDeg === undefined ? "" : ` to ${Math.round(cogDeg)}°`}`,
      "a moving boat's own wind is taken for wind; a jump of the position is harder to tell",
    ),
    {
      what: "UTC",
      source: seen.utcMs === undefined ? MISSING : "position receiver",
      value: seen.utcMs === undefined ? "" : formatInstant(Math.floor(seen.utcMs / 1000) * 1000),
      weakens: seen.utcMs === undefined ? "times are this computer's, and none goes out in sentences" : "",
    },
    {
      what: "somebody to hear alarms",
      source: hearers.length === 0 ? MISSING : hearers.join(", "),
      value: "",
      weakens: hearers.length === 0 ? "nothing connected would sound: an alarm shows on the page only" : "",
    },
  ];
}

function met<T>(what: string, known: Known<T> | undefined, say: (value: T) => string, weakens: string): Need {
  if (known === undefined) return { what, source: MISSING, value: "", weakens };
  return { what, source: known.source, value: say(known.value), weakens: "" };
}

function surfaceDepth({ depth }: Seen, config: Config): Need {
  const what = "depth from surface";
  const surfaceM = depth?.value.surfaceM;
  if (depth === undefined || surfaceM === undefined) {
    const why = depth === undefined ? "" : "; set boat.draught, the depth heard is under the keel";
    return { what, source: MISSING, value: "", weakens: `scope and the rode wanted are not reckoned${why}` };
  }
  const value = `${surfaceM.toFixed(1)} m`;
  if (depth.value.referenceKnown) return { what, source: depth.source, value, weakens: "" };
  const taken =
    config.boat.draught === undefined
      ? "so the true depth may be more, and scope less"
      : "taken as under the keel for scope";
  const weakens = `from where it is measured is not known: ${taken}; set transducer.below_water`;
  return { what, source: depth.source, value, weakens };
}

function keelDepth({ depth }: Seen, config: Config): Need {
  const what = "depth under keel";
  const underM = depth?.value.underKeelM;
  if (depth !== undefined && underM !== undefined) {
    const weakens = depth.value.referenceKnown
      ? ""
      : "from where it is measured is not known: taken as from the surface; set transducer.below_water";
    return { what, source: depth.source, value: `${underM.toFixed(1)} m`, weakens };
  }
  const set = depth !== undefined && config.boat.draught === undefined ? "; set boat.draught" : "";
  return { what, source: MISSING, value: "", weakens: `no shoal alarm${set}` };
}

function wind({ wind: seen, apparentWind }: Seen, config: Config): Need {
  const what = "wind";
  if (seen !== undefined) {
    const { speedMps, fromDeg } = seen.value;
    const from = fromDeg === undefined ? "" : ` from ${Math.round(fromDeg)}°`;
    const weakens = fromDeg === undefined ? "its direction is not known without a heading" : "";
    return { what, source: seen.source, value: `${toKn(speedMps).toFixed(1)} kn${from}`, weakens };
  }
  if (apparentWind !== undefined)
    return { what, source: apparentWind.source, value: "apparent only", weakens: "needs course and speed" };
  const forecast = config.forecast.wind;
  const weakens = "no wind alarms; the rode wanted is reckoned for ";
  if (forecast === undefined)
    return { what, source: MISSING, value: "", weakens: `${weakens}20 kn: set forecast.wind or tell it` };
  return {
    what,
    source: "forecast.wind",
    value: `${toKn(forecast).toFixed(0)} kn`,
    weakens: `${weakens}the forecast`,
  };
}

function heading({ headingDeg, magneticOnly }: Seen): Need {
  const what = "heading";
  if (headingDeg !== undefined)
    return {
      what,
      source: headingDeg.source,
      value: `${Math.round(headingDeg.value)}° true`,
      weakens: "",
    };
  if (magneticOnly !== undefined)
    return {
      what,
      source: magneticOnly,
      value: "magnetic, without variation",
      weakens: "of no use without a variation (RMC or HDG gives it): as if missing",
    };
  return { what, source: MISSING, value: "", weakens: "the anchor's place at let go is less sure" };
}
