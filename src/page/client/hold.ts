/**
 * A press that must be meant: held for a second, so that a wet pocket does nothing. With a screen reader or a
 * switch, which cannot hold, it is pressed twice.
 */

const HOLD_MS = 1000;
const TWICE_WITHIN_MS = 6000;

export interface HoldEvents {
  done(): void;
  /** Asked once by a press that cannot be held. */
  again(): void;
}

export function guardByHold(
  button: HTMLElement,
  isGuarded: () => boolean,
  events: HoldEvents,
): { cancel(): void } {
  let timer: ReturnType<typeof setTimeout> | undefined;
  let askedAtMs = Number.NEGATIVE_INFINITY;
  let isJustHeld = false;

  function begin(): void {
    if (!isGuarded() || timer !== undefined || button.hasAttribute("disabled")) return;
    isJustHeld = true;
    button.dataset.holding = "yes";
    timer = setTimeout(() => {
      end();
      events.done();
    }, HOLD_MS);
  }

  function end(): void {
    clearTimeout(timer);
    timer = undefined;
    delete button.dataset.holding;
  }

  button.addEventListener("pointerdown", (event) => {
    if (event.button === 0) begin();
  });
  for (const name of ["pointerup", "pointerleave", "pointercancel", "blur"] as const)
    button.addEventListener(name, end);
  button.addEventListener("contextmenu", (event) => event.preventDefault());
  button.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" && event.key !== " ") return;
    if (isGuarded()) event.preventDefault();
    if (!event.repeat) begin();
  });
  button.addEventListener("keyup", end);
  button.addEventListener("click", () => {
    if (!isGuarded()) {
      events.done();
      return;
    }
    // A press by hand has been a hold, or too short a one; without one, it came from a reader or a switch.
    if (isJustHeld) {
      isJustHeld = false;
      return;
    }
    if (performance.now() - askedAtMs < TWICE_WITHIN_MS) {
      askedAtMs = Number.NEGATIVE_INFINITY;
      events.done();
      return;
    }
    askedAtMs = performance.now();
    events.again();
  });
  return {
    cancel() {
      end();
      askedAtMs = Number.NEGATIVE_INFINITY;
    },
  };
}
