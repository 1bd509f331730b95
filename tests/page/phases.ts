/** Moments of the rehearsal "stay", seconds from its beginning: one in each phase, and in the drag. */
export const PHASES = [
  { name: "approach", atS: 330, phase: "underway" },
  { name: "let-go", atS: 520, phase: "let-go" },
  { name: "riding", atS: 3300, phase: "riding" },
  { name: "short", atS: 5480, phase: "riding" },
  { name: "veered", atS: 6600, phase: "riding" },
  { name: "dragging", atS: 8640, phase: "riding" },
  { name: "outside", atS: 9000, phase: "riding" },
  { name: "weighing", atS: 9560, phase: "weighing" },
  { name: "away", atS: 10300, phase: "underway" },
] as const;
