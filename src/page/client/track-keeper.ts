/** The track of the night: fetched once, then only what is new. */
import type { TrackAnswer } from "../boat-state.ts";
import { got } from "./ask.ts";

export const NO_TRACK: TrackAnswer = {
  atMs: [],
  lat: [],
  lon: [],
  rangeMinM: [],
  rangeMaxM: [],
  circleM: [],
  scope: [],
  windKn: [],
  gustKn: [],
  marks: [],
};

const EVERY_MS = 10_000;
/** With more than this, all is fetched anew, decimated by the daemon. */
const MOST_POINTS = 900;

export function createTrackKeeper(changed: () => void) {
  let track = NO_TRACK;
  let isAsking = false;

  async function ask(): Promise<void> {
    if (isAsking) return;
    isAsking = true;
    const sinceMs = track.atMs.length > MOST_POINTS ? 0 : (track.atMs.at(-1) ?? 0);
    const fresh = await got<TrackAnswer>(`/api/track?since=${sinceMs}`);
    isAsking = false;
    // Without one the link's own watch says that it is lost; the track is asked for again.
    if (fresh === undefined) return;
    track = sinceMs === 0 ? fresh : joined(track, fresh);
    changed();
  }

  setInterval(() => void ask(), EVERY_MS);
  return {
    track: () => track,
    ask,
    /** Another daemon, or the same one begun anew. */
    forget() {
      track = NO_TRACK;
      void ask();
    },
  };
}

function joined(old: TrackAnswer, fresh: TrackAnswer): TrackAnswer {
  const lastMs = old.atMs.at(-1) ?? 0;
  return {
    atMs: [...old.atMs, ...fresh.atMs],
    lat: [...old.lat, ...fresh.lat],
    lon: [...old.lon, ...fresh.lon],
    rangeMinM: [...old.rangeMinM, ...fresh.rangeMinM],
    rangeMaxM: [...old.rangeMaxM, ...fresh.rangeMaxM],
    circleM: [...old.circleM, ...fresh.circleM],
    scope: [...old.scope, ...fresh.scope],
    windKn: [...old.windKn, ...fresh.windKn],
    gustKn: [...old.gustKn, ...fresh.gustKn],
    marks: [...old.marks.filter(({ atMs }) => atMs <= lastMs), ...fresh.marks],
  };
}
