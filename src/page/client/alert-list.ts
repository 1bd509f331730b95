/** The list of alerts. Items are kept by key: a button must not vanish under a thumb because a figure changed. */
import type { StateAlert } from "../boat-state.ts";
import { byId, make, show, write } from "./dom.ts";
import { byUrgency } from "./headline.ts";
import { clock, inUnits, plainText, type Speak } from "./wording.ts";
import { acts, alertStates, alertWords } from "./words.ts";

export type Command = "acknowledge" | "silence";

interface Item {
  root: HTMLElement;
  words: HTMLElement;
  text: HTMLElement;
  state: HTMLElement;
  buttons: HTMLElement;
  acknowledge: HTMLButtonElement;
  silence: HTMLButtonElement;
}

const MAY_SILENCE: ReadonlySet<string> = new Set(["unacknowledged"]);
const MAY_ACKNOWLEDGE: ReadonlySet<string> = new Set(["unacknowledged", "silenced", "rectified"]);

/** @param answer what to do when a button is pressed */
export function createAlertList(answer: (key: string, command: Command) => void) {
  const list = byId("alerts");
  const items = new Map<string, Item>();

  function update(alerts: readonly StateAlert[], paired: boolean, speak: Speak): void {
    const sorted = byUrgency(alerts);
    const keys = new Set(sorted.map((alert) => alert.key));
    for (const [key, item] of items) {
      if (keys.has(key)) continue;
      item.root.remove();
      items.delete(key);
    }
    sorted.forEach((alert, at) => {
      const item = items.get(alert.key) ?? begin(alert.key);
      fill(item, alert, paired, speak);
      if (list.children[at] !== item.root) list.insertBefore(item.root, list.children[at] ?? null);
    });
    show(byId("alerting"), sorted.length > 0);
    show(byId("pair-first"), !paired);
  }

  function begin(key: string): Item {
    const button = (command: Command, label: string) => {
      const made = document.createElement("button");
      made.type = "button";
      made.textContent = label;
      made.setAttribute("aria-label", `${label}: ${alertWords(key)}`);
      made.addEventListener("click", () => answer(key, command));
      return made;
    };
    const item: Item = {
      root: make("li", ""),
      words: make("strong", ""),
      text: make("p", ""),
      state: make("p", "state"),
      buttons: make("div", "buttons"),
      acknowledge: button("acknowledge", acts.acknowledge),
      silence: button("silence", acts.silence),
    };
    item.buttons.append(item.acknowledge, item.silence);
    item.root.append(item.words, item.text, item.state, item.buttons);
    items.set(key, item);
    return item;
  }

  return { update };
}

function fill(item: Item, alert: StateAlert, paired: boolean, speak: Speak): void {
  const mayAcknowledge = MAY_ACKNOWLEDGE.has(alert.state) && alert.priority !== "caution";
  const maySilence = MAY_SILENCE.has(alert.state) && alert.priority !== "caution";
  item.root.dataset.priority = alert.state === "rectified" ? "over" : alert.priority;
  write(item.words, alertWords(alert.key));
  write(item.text, inUnits(plainText(alert.text), speak));
  write(item.state, `${alert.priority} since ${clock(Date.parse(alert.since))}, ${alertStates[alert.state]}`);
  show(item.acknowledge, mayAcknowledge);
  show(item.silence, maySilence);
  show(item.buttons, paired && (mayAcknowledge || maySilence));
}
