/** The two large buttons at the thumb, and the one that opens all acts. */
import type { BoatState } from "../boat-state.ts";
import { type BarAct, barOf, rowOf } from "./act-rows.ts";
import { byId, show, write } from "./dom.ts";
import { guardByHold } from "./hold.ts";
import { coarseLength, type Speak } from "./wording.ts";
import { acts } from "./words.ts";

export interface BarEvents {
  act(act: BarAct): void;
  again(): void;
}

/** A button that has just become another takes no press: the thumb was on its way to the one before. */
const SETTLES_MS = 700;

export function createActBar(events: BarEvents) {
  const buttons = ["act-first", "act-second"].map((id) =>
    createBarButton(byId(id) as HTMLButtonElement, events),
  );

  return {
    /** @param why why nothing can be sent, or undefined */
    update(state: BoatState, speak: Speak, why: string | undefined): void {
      const bar = barOf(state);
      buttons.forEach((button, i) => {
        button.update(bar[i], speak, why);
      });
    },
    /** Without a link nothing can be sent. */
    close(why: string): void {
      for (const button of buttons) button.close(why);
    },
  };
}

function createBarButton(button: HTMLButtonElement, events: BarEvents) {
  const label = document.createElement("span");
  const note = document.createElement("small");
  button.replaceChildren(label, note);
  let is: BarAct | undefined;
  let changedAtMs = Number.NEGATIVE_INFINITY;
  const hold = guardByHold(button, () => is !== undefined && needsHold(is), {
    done: () => {
      if (is !== undefined && performance.now() - changedAtMs > SETTLES_MS) events.act(is);
    },
    again: events.again,
  });

  return {
    update(act: BarAct | undefined, speak: Speak, why: string | undefined): void {
      if (JSON.stringify(act) !== JSON.stringify(is)) {
        // A figure may change under the thumb; the act may not.
        if (act?.kind !== is?.kind || (act?.kind === "act" && is?.kind === "act" && act.verb !== is.verb)) {
          changedAtMs = performance.now();
          hold.cancel();
        }
        is = act;
      }
      show(button, act !== undefined);
      if (act === undefined) return;
      const said = wordsOf(act, speak);
      write(label, said.label);
      write(note, why ?? said.note);
      button.dataset.look = said.look;
      // Acts that open a form may be looked at; those that send at once need what sending needs.
      button.disabled = why !== undefined;
    },
    close(why: string): void {
      write(note, why);
      button.disabled = true;
    },
  };
}

function needsHold(act: BarAct): boolean {
  return act.kind === "veered" || (act.kind === "act" && rowOf(act.verb).guard === "hold");
}

function wordsOf(act: BarAct, { lengths }: Speak): { label: string; note: string; look: string } {
  switch (act.kind) {
    case "quiet":
      return { label: acts.imUp, note: acts.imUpNote, look: "alarm" };
    case "silence":
      return { label: acts.silence, note: acts.silenceNote, look: "plain" };
    case "veered":
      return {
        label: acts.veeredTo(coarseLength(act.requiredM, lengths, "ceil")),
        note: acts.whenDone,
        look: "asked",
      };
    case "act": {
      const row = rowOf(act.verb);
      return { label: row.label, note: row.guard === "hold" ? acts.hold : row.note, look: act.look };
    }
  }
}
