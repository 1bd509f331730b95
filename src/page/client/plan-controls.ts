/** Zoom of the plan, and its turn: buttons in the drawing's corner, keys, a pinch of two fingers. */
import { byId } from "./dom.ts";
import type { Box } from "./labels.ts";

/** Between them and the edge. */
const ROUND_PX = 8;
const STEPS = [0.25, 0.4, 0.63, 1, 1.6, 2.5, 4, 6.3];
const FITTING = STEPS.indexOf(1);

export interface PlanControls {
  /** 1: all that matters fits. */
  zoom(): number;
  /** What the buttons cover of a plan of this size. */
  box(widthPx: number, heightPx: number): Box;
}

export function createPlanControls(changed: () => void): PlanControls {
  let at = FITTING;

  function go(to: number): void {
    const next = Math.min(STEPS.length - 1, Math.max(0, to));
    if (next === at) return;
    at = next;
    closer.disabled = at === STEPS.length - 1;
    wider.disabled = at === 0;
    changed();
  }

  const closer = byId("zoom-in") as HTMLButtonElement;
  const wider = byId("zoom-out") as HTMLButtonElement;
  closer.addEventListener("click", () => go(at + 1));
  wider.addEventListener("click", () => go(at - 1));
  const plan = byId("plan");
  plan.addEventListener("dblclick", () => go(FITTING));
  onPinch(plan, (steps) => go(at + steps));
  const buttons = byId("zoom");
  return {
    zoom: () => STEPS[at] ?? 1,
    box: (right, bottom) => ({
      left: right - buttons.offsetWidth - ROUND_PX,
      top: bottom - buttons.offsetHeight - ROUND_PX,
      right,
      bottom,
    }),
  };
}

/** Each time that two fingers are half as far apart again, or come together as much, is one step. */
const PINCH = 1.5;

function onPinch(element: HTMLElement, stepped: (steps: 1 | -1) => void): void {
  const fingers = new Map<number, { x: number; y: number }>();
  let apartPx: number | undefined;
  const apart = (): number | undefined => {
    const [a, b] = [...fingers.values()];
    return a === undefined || b === undefined ? undefined : Math.hypot(a.x - b.x, a.y - b.y);
  };
  element.addEventListener("pointerdown", ({ pointerId, clientX, clientY }) => {
    fingers.set(pointerId, { x: clientX, y: clientY });
    apartPx = apart();
  });
  element.addEventListener("pointermove", ({ pointerId, clientX, clientY }) => {
    if (!fingers.has(pointerId)) return;
    fingers.set(pointerId, { x: clientX, y: clientY });
    const now = apart();
    if (now === undefined || apartPx === undefined) return;
    if (now > apartPx * PINCH) stepped(1);
    else if (now < apartPx / PINCH) stepped(-1);
    else return;
    apartPx = now;
  });
  for (const name of ["pointerup", "pointercancel", "pointerleave"] as const)
    element.addEventListener(name, ({ pointerId }) => {
      fingers.delete(pointerId);
      apartPx = apart();
    });
}
