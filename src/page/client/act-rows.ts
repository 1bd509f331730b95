/** The operator's acts, one row each: what stands on the button, what is asked, how it is guarded, and when. */
import type { BoatState, StatePhase } from "../boat-state.ts";
import { actWords, fieldWords } from "./words.ts";

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
  /** Sent with what is asked. */
  with?: Readonly<Record<string, unknown>>;
  /** Bearing and distance are from the boat, and sent as a place. */
  fromBoat?: true;
}

const DOWN: readonly StatePhase[] = ["let-go", "riding", "weighing"];
const ALWAYS: readonly StatePhase[] = ["underway", ...DOWN];

const length = (name: string, label: string): ActField => ({ name, kind: "length", label });
const speed = (name: string, label: string): ActField => ({ name, kind: "speed", label });
const bearingDeg: ActField = { name: "bearingDeg", kind: "bearing", label: fieldWords.bearing };

function said(key: keyof typeof actWords): { label: string; note: string } {
  const [label, note] = actWords[key];
  return { label, note };
}

export const ACT_ROWS: readonly ActRow[] = [
  {
    verb: "LETGO",
    ...said("LETGO"),
    fields: [],
    guard: "hold",
    phases: ["underway"],
  },
  {
    verb: "NEUTRAL",
    ...said("NEUTRAL"),
    fields: [],
    guard: "tap",
    phases: ["underway"],
  },
  {
    verb: "RODE",
    ...said("RODE"),
    fields: [length("length", fieldWords.rode)],
    guard: "form",
    phases: DOWN,
  },
  {
    verb: "SPLICE",
    ...said("SPLICE"),
    fields: [],
    guard: "hold",
    phases: DOWN,
  },
  {
    verb: "BOTTOM",
    ...said("BOTTOM"),
    fields: [],
    guard: "tap",
    phases: ["let-go"],
  },
  {
    verb: "BROUGHTUP",
    ...said("BROUGHTUP"),
    fields: [],
    guard: "hold",
    phases: ["let-go", "riding"],
  },
  {
    verb: "EXPECT",
    ...said("EXPECT"),
    fields: [speed("speed", fieldWords.tonight)],
    guard: "form",
    phases: ALWAYS,
  },
  {
    verb: "RISE",
    ...said("RISE"),
    fields: [length("length", fieldWords.rise)],
    guard: "form",
    phases: ALWAYS,
  },
  {
    verb: "KEEPOFF",
    ...said("KEEPOFF"),
    fields: [
      bearingDeg,
      length("range", fieldWords.range),
      { name: "name", kind: "text", label: fieldWords.name },
    ],
    guard: "form",
    phases: ALWAYS,
  },
  {
    verb: "LIE",
    ...said("LIE"),
    fields: [bearingDeg, length("range", fieldWords.range)],
    guard: "form",
    phases: ["underway", "let-go", "riding"],
    fromBoat: true,
  },
  {
    verb: "WIND",
    ...said("WIND"),
    fields: [
      speed("speed", fieldWords.wind),
      { ...bearingDeg, name: "fromDeg", label: fieldWords.from, optional: true },
    ],
    guard: "form",
    phases: ALWAYS,
  },
  {
    verb: "PLACE",
    ...said("PLACE"),
    fields: [bearingDeg, length("range", fieldWords.off)],
    guard: "form",
    phases: DOWN,
  },
  {
    verb: "WEIGH",
    ...said("WEIGH"),
    fields: [],
    guard: "hold",
    phases: ["let-go", "riding"],
  },
  {
    verb: "WEIGH",
    ...said("WEIGH-BALL"),
    fields: [],
    guard: "hold",
    phases: ["let-go", "riding"],
    with: { ball: true },
  },
  { verb: "AWEIGH", ...said("AWEIGH"), fields: [], guard: "hold", phases: DOWN },
  { verb: "SLIP", ...said("SLIP"), fields: [], guard: "hold", phases: DOWN },
  {
    verb: "UNDO",
    ...said("UNDO"),
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
  const { outM, requiredM } = rode;
  const isShort = phase === "riding" && outM !== null && requiredM !== null && requiredM > outM;
  const mayVeer = isShort && requiredM <= (state.drawing?.side.aboardM ?? Number.POSITIVE_INFINITY);
  const veered: BarAct | undefined = mayVeer ? { kind: "veered", requiredM } : undefined;
  if (open.some((alert) => alert.priority === "alarm"))
    return [{ kind: "quiet", keys }, veered ?? PHASE_ACTS[phase][phase === "underway" ? 0 : 1]];
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
