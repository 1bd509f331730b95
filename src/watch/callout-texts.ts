/**
 * Every callout, one row: at most eight words, figures included, in the trade's terms. What sends someone forward
 * begins with lifejacket and clip on. None claims safety.
 */
export type CalloutPriority = "quiet" | "routine" | "order" | "urgent";

export interface CalloutRow {
  priority: CalloutPriority;
  /** How many figures it takes; each is at most two words ("17 fathoms"). */
  figures: number;
  text: (...figures: string[]) => string;
}

function row(priority: CalloutPriority, figures: number, text: (...figures: string[]) => string): CalloutRow {
  return { priority, figures, text };
}

export const CALLOUTS = {
  // Under way and coming in
  "under-way": row("quiet", 0, () => "Under way, no watch kept"),
  "rode-slipped": row("routine", 0, () => "Rode slipped: its place is kept"),
  "reading-drift": row("routine", 0, () => "Neutral: reading the drift"),
  "tell-wind": row("routine", 0, () => "Tell the wind's direction"),
  "no-drift": row("routine", 0, () => "Not enough drift to tell"),
  "wind-rules": row("order", 1, (deg) => `Wind rules: bow to ${deg}`),
  "tide-rules": row("order", 1, (deg) => `Tide rules: bow to ${deg}`),
  "lies-about": row("routine", 1, (deg) => `She will lie about ${deg}`),
  "let-go-there": row("order", 2, (length, deg) => `Let go ${length} off, bearing ${deg}`),
  "let-go-here": row("urgent", 0, () => "Let go here"),
  "rode-too-short": row("order", 0, () => "Rode aboard too short here"),
  // Veering
  "tell-rode": row("order", 0, () => "Tell how much rode is out"),
  "veer-more": row("order", 1, (length) => `Veer ${length} more`),
  "veer-marks": row("order", 2, (marks, length) => `Veer ${marks} marks and ${length}`),
  "veer-to-mark": row("order", 1, (marks) => `Veer ${marks} marks more`),
  "let-settle": row("routine", 0, () => "Rode out: let her settle"),
  "no-room": row("order", 0, () => "No room to veer: re-anchor"),
  "said-too-little": row("order", 2, (told, needs) => `Said ${told}, distance needs ${needs}`),
  // Bringing up
  "not-holding": row("urgent", 1, (length) => `Not holding: crept ${length}`),
  creeping: row("urgent", 0, () => "Creeping: do not leave the helm"),
  "held-astern": row("order", 1, (length) => `Held astern, crept ${length}`),
  "brought-up": row("order", 0, () => "Looks brought up: confirm"),
  "holds-further-on": row("order", 1, (length) => `Holds, but ${length} on: confirm`),
  // Riding
  "watch-again": row("order", 0, () => "Not weighing: riding, the watch goes on"),
  "lying-quiet": row("quiet", 0, () => "Lying quiet, untested"),
  "no-drag": row("quiet", 0, () => "No drag"),
  tonight: row("order", 2, (wind, length) => `Tonight ${wind}: veer to ${length} now`),
  "ask-tonight": row("routine", 0, () => "Most wind expected before morning?"),
  "veer-to-place": row("routine", 1, (length) => `Veer ${length}: stern on the mark`),
  leaving: row("order", 0, () => "Weighing? Tell it with one tap"),
  chafe: row("routine", 0, () => "Lifejacket, clip on: check for chafe"),
  cleat: row("routine", 0, () => "Lifejacket, clip on: rode to cleat"),
  "anchor-light": row("routine", 0, () => "Show the anchor light"),
  "day-shape": row("routine", 0, () => "Lifejacket, clip on: hoist day shape"),
  "fog-signal": row("routine", 1, (signal) => `In fog: ${signal}`),
  "under-hull": row("routine", 0, () => "Rode may lead under the hull"),
  // Dragging
  dragging: row("urgent", 0, () => "Engine on, look to leeward"),
  // Weighing
  "come-up": row("routine", 1, (length) => `Come up to it: ${length}`),
  steer: row("order", 2, (deg, side) => `Steer ${deg} to ${side}`),
  "rode-slack": row("order", 0, () => "Neutral: rode slack"),
  "engine-not-windlass": row("order", 0, () => "Engine, not windlass"),
  overrunning: row("urgent", 0, () => "Overrunning the rode: stop"),
  sideways: row("order", 0, () => "Pulling sideways: bow to anchor"),
  "short-stay": row("order", 0, () => "Short stay"),
  "splice-near": row("order", 0, () => "Splice near: slow"),
  "up-and-down": row("order", 0, () => "Up and down"),
  foul: row("urgent", 0, () => "Foul? Stop hauling"),
  aweigh: row("order", 0, () => "Aweigh? Confirm"),
  hanging: row("order", 1, (length) => `Dead slow: ${length} hangs below`),
  "near-roller": row("order", 0, () => "Anchor near the roller: slow"),
  "nothing-to-steer-by": row("routine", 0, () => "No position to steer by"),
} as const satisfies Record<string, CalloutRow>;

export type CalloutKey = keyof typeof CALLOUTS;
