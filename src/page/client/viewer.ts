/** What this viewer wishes: kept on this phone only. */
import type { Turn } from "./layout.ts";
import type { Speak, SpeedUnits, Units } from "./wording.ts";

export interface Viewer {
  /** Undefined: as the daemon is configured. */
  lengths: Units | undefined;
  speeds: SpeedUnits;
  mode: "sun" | "day" | "dusk" | "night";
  turn: Turn;
  speech: boolean;
  /** Latitude and longitude on the plan. */
  grid: boolean;
}

const KEY = "rodeward-viewer";
const FRESH: Viewer = {
  lengths: undefined,
  speeds: "kn",
  mode: "day",
  turn: "lying",
  speech: true,
  grid: true,
};

const CHOICES: { readonly [K in keyof Viewer]: readonly Viewer[K][] } = {
  lengths: [undefined, "metric", "feet", "fathoms"],
  speeds: ["kn", "m/s"],
  mode: ["day", "dusk", "night", "sun"],
  turn: ["lying", "north-up", "wind-up"],
  grid: [true, false],
  speech: [true, false],
};

export function readViewer(): Viewer {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(KEY) ?? "null");
    return typeof kept === "object" && kept !== null ? { ...FRESH, ...sound(kept) } : FRESH;
  } catch {
    return FRESH;
  }
}

/** Only what is one of the choices: what an older page has kept must not break this one. */
function sound(kept: object): Partial<Viewer> {
  return Object.fromEntries(
    Object.entries(kept).filter(([key, value]) =>
      (CHOICES[key as keyof Viewer] as readonly unknown[] | undefined)?.includes(value),
    ),
  );
}

export function keepViewer(viewer: Viewer): void {
  try {
    localStorage.setItem(KEY, JSON.stringify(viewer));
  } catch {
    // it holds until the page is left
  }
}

export function speakOf(viewer: Viewer, configured: Units | undefined): Speak {
  return { lengths: viewer.lengths ?? configured ?? "metric", speeds: viewer.speeds };
}
