/** Fingers on a plot: one moves the cursor, two stretch and shift the time; up and down still scrolls the page. */
import type uPlot from "uplot";

export interface Gestures {
  cursor(atS: number): void;
  /** Wished from and to, seconds of UTC. */
  zoom(fromS: number, toS: number): void;
}

const LEAST_APART_PX = 12;

export function takeTouches(plot: uPlot, events: Gestures): void {
  const { over } = plot;
  const fingers = new Map<number, number>();
  /** What lay under the two fingers when the second came down. */
  let held: { left: number; right: number } | undefined;

  const place = ({ clientX }: PointerEvent) => clientX - over.getBoundingClientRect().left;
  const pair = (): [number, number] | undefined => {
    const [a, b] = [...fingers.values()];
    return a === undefined || b === undefined ? undefined : [Math.min(a, b), Math.max(a, b)];
  };
  const stretch = (): void => {
    const now = pair();
    if (held === undefined || now === undefined) return;
    const [left, right] = now;
    const perPx = (held.right - held.left) / Math.max(LEAST_APART_PX, right - left);
    const fromS = held.left - left * perPx;
    events.zoom(fromS, fromS + over.clientWidth * perPx);
  };

  over.addEventListener("pointerdown", (event) => {
    if (event.pointerType !== "touch") return;
    fingers.set(event.pointerId, place(event));
    const now = pair();
    held = now && { left: plot.posToVal(now[0], "x"), right: plot.posToVal(now[1], "x") };
    if (fingers.size === 1) events.cursor(plot.posToVal(place(event), "x"));
  });
  over.addEventListener("pointermove", (event) => {
    if (!fingers.has(event.pointerId)) return;
    fingers.set(event.pointerId, place(event));
    if (fingers.size === 1) events.cursor(plot.posToVal(place(event), "x"));
    else stretch();
  });
  for (const end of ["pointerup", "pointercancel", "pointerleave"] as const)
    over.addEventListener(end, (event) => {
      fingers.delete(event.pointerId);
      held = undefined;
    });
}
