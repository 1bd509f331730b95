/** The operator's acts, one row each: what stands on the button, what is asked, how it is guarded, and when. */
import type { BoatState, StatePhase } from "../boat-state.ts";

export interface ActField {
  name: string;
  kind: "length" | "speed" | "bearing" | "text";
  label: string;
  /** Left empty, it is not sent. */
  optional?: true;
}

export interface ActRow {
  verb: string;
  label: string;
  note: string;
  fields: readonly ActField[];
  /** Hold: against a wet pocket. Sent: a form is filled in first, and sending is its guard. Tap: harms nothing. */
  guard: "hold" | "form" | "tap";
  phases: readonly StatePhase[];
}

const DOWN: readonly StatePhase[] = ["let-go", "riding", "weighing"];
const ALWAYS: readonly StatePhase[] = ["underway", ...DOWN];

const length = (name: string, label: string): ActField => ({ name, kind: "length", label });
const speed = (name: string, label: string): ActField => ({ name, kind: "speed", label });
const bearingDeg: ActField = { name: "bearingDeg", kind: "bearing", label: "Bearing, degrees true" };

export const ACT_ROWS: readonly ActRow[] = [
  {
    verb: "LETGO",
    label: "Let go",
    note: "anchor goes now, here",
    fields: [],
    guard: "hold",
    phases: ["underway"],
  },
  {
    verb: "NEUTRAL",
    label: "In neutral",
    note: "read wind against tide",
    fields: [],
    guard: "tap",
    phases: ["underway"],
  },
  {
    verb: "RODE",
    label: "Rode out…",
    note: "how much is out",
    fields: [length("length", "Rode out, from the roller")],
    guard: "form",
    phases: DOWN,
  },
  {
    verb: "SPLICE",
    label: "Splice at the roller",
    note: "all the chain is out, no rope",
    fields: [],
    guard: "hold",
    phases: DOWN,
  },
  {
    verb: "BOTTOM",
    label: "On the bottom",
    note: "the line goes slack",
    fields: [],
    guard: "tap",
    phases: ["let-go"],
  },
  {
    verb: "BROUGHTUP",
    label: "Brought up",
    note: "she holds",
    fields: [],
    guard: "hold",
    phases: ["let-go", "riding"],
  },
  {
    verb: "EXPECT",
    label: "Wind tonight…",
    note: "most wind before morning",
    fields: [speed("speed", "Most wind expected before morning")],
    guard: "form",
    phases: ALWAYS,
  },
  {
    verb: "RISE",
    label: "Tide to come…",
    note: "rise above now by high water",
    fields: [length("length", "Rise above the present level by high water")],
    guard: "form",
    phases: ALWAYS,
  },
  {
    verb: "KEEPOFF",
    label: "Keep off…",
    note: "boat, rock or shoal",
    fields: [
      bearingDeg,
      length("range", "Distance from here"),
      { name: "name", kind: "text", label: "Name" },
    ],
    guard: "form",
    phases: ALWAYS,
  },
  {
    verb: "WIND",
    label: "Wind now…",
    note: "as you judge it",
    fields: [
      speed("speed", "Wind, as you judge it"),
      { ...bearingDeg, name: "fromDeg", label: "From, degrees true", optional: true },
    ],
    guard: "form",
    phases: ALWAYS,
  },
  {
    verb: "PLACE",
    label: "Place the anchor…",
    note: "from where it was taken to be",
    fields: [bearingDeg, length("range", "Distance from where it was taken to be")],
    guard: "form",
    phases: DOWN,
  },
  {
    verb: "WEIGH",
    label: "Weigh",
    note: "weighing begins",
    fields: [],
    guard: "hold",
    phases: ["let-go", "riding"],
  },
  { verb: "AWEIGH", label: "Aweigh", note: "anchor off the bottom", fields: [], guard: "hold", phases: DOWN },
  { verb: "SLIP", label: "Slip", note: "rode buoyed and let go", fields: [], guard: "hold", phases: DOWN },
  {
    verb: "UNDO",
    label: "Undo",
    note: "the last act, within a minute",
    fields: [],
    guard: "tap",
    phases: ALWAYS,
  },
];

export function rowOf(verb: string): ActRow {
  const row = ACT_ROWS.find((one) => one.verb === verb);
  if (row === undefined) throw new Error(`no act ${verb}`);
  return row;
}

/** What the two large buttons do. */
export type BarAct =
  | { kind: "act"; verb: string; look: "plain" | "asked" }
  | { kind: "veered"; requiredM: number }
  | { kind: "quiet"; keys: readonly string[] }
  | { kind: "silence"; keys: readonly string[] };

/** At most two, the one that is asked for first. */
export function barOf(state: BoatState): readonly BarAct[] {
  const { phase, alerts, rode } = state;
  const open = alerts.filter((alert) => alert.state === "unacknowledged" && alert.priority !== "caution");
  const keys = open.map(({ key }) => key);
  const [first, second] = askedFor(state) ?? PHASE_ACTS[phase];
  if (open.some((alert) => alert.priority === "alarm"))
    return [{ kind: "quiet", keys }, PHASE_ACTS[phase][phase === "underway" ? 0 : 1]];
  const { outM, requiredM } = rode;
  const isShort = phase === "riding" && outM !== null && requiredM !== null && requiredM > outM;
  const mayVeer = isShort && requiredM <= (state.drawing?.side.aboardM ?? Number.POSITIVE_INFINITY);
  const veered: BarAct | undefined = mayVeer ? { kind: "veered", requiredM } : undefined;
  if (keys.length > 0) return [veered ?? first, { kind: "silence", keys }];
  return [veered ?? first, second];
}

/** What the watch proposes comes first, and looks so. */
function askedFor({ guidance, phase }: BoatState): readonly [BarAct, BarAct] | undefined {
  if (guidance?.bringingUp?.proposed === true) return [act("BROUGHTUP", "asked"), act("RODE")];
  if (guidance?.leaving === true && phase !== "weighing") return [act("WEIGH", "asked"), act("RODE")];
  if (guidance?.weigh?.stage === "aweigh") return [act("AWEIGH", "asked"), act("RODE")];
  return undefined;
}

const act = (verb: string, look: "plain" | "asked" = "plain"): BarAct => ({ kind: "act", verb, look });

const PHASE_ACTS: Readonly<Record<StatePhase, readonly [BarAct, BarAct]>> = {
  underway: [act("LETGO"), act("NEUTRAL")],
  "let-go": [act("RODE"), act("BROUGHTUP")],
  riding: [act("RODE"), act("WEIGH")],
  weighing: [act("RODE"), act("AWEIGH")],
};
