/** Writes the picture, or its loss, into the document. */
import type { BoatState, StateAlert } from "../boat-state.ts";
import { byId, make, show, write } from "./dom.ts";
import { type Figure, figuresOf } from "./figures.ts";
import { agesOf, byUrgency, type Headline, headlineOf } from "./headline.ts";
import { alertWords, clock, type Units } from "./wording.ts";

export function createView() {
  const figures = byId("figures");
  let written = "";
  let announced: ReadonlySet<string> = new Set();

  function picture(state: BoatState, units: Units): void {
    headline(headlineOf(state));
    write(byId("ages"), agesOf(state, 0));
    show(byId("picture"), true);
    writeFigures(figuresOf(state, units));
    announce(state.alerts);
  }

  /** Figures only change as a whole page of them; nothing in them can be pressed. */
  function writeFigures(lines: readonly Figure[]): void {
    const text = JSON.stringify(lines);
    if (text === written) return;
    written = text;
    figures.replaceChildren(...lines.map(lineOf));
  }

  /** Spoken at once by a screen reader, each alarm or warning once. */
  function announce(alerts: readonly StateAlert[]): void {
    const urgent = alerts.filter((alert) => alert.state === "unacknowledged" && alert.priority !== "caution");
    const fresh = byUrgency(urgent.filter((alert) => !announced.has(alert.key)));
    announced = new Set(urgent.map((alert) => alert.key));
    const [first] = fresh;
    if (first !== undefined)
      byId("announce").textContent = `${first.priority}: ${alertWords(first.key)}. ${first.text}`;
  }

  return { picture, ages, lost };
}

function ages(state: BoatState, laterS: number): void {
  write(byId("ages"), agesOf(state, laterS));
}

/** Nothing that was true then may look as if it were true now: all figures go. */
function lost(sinceMs: number, last: BoatState | undefined): void {
  const then = last?.callout ?? "";
  headline({
    words: "NO LINK",
    why: `to rodeward since ${clock(sinceMs)}. It may still be on watch, but this phone cannot tell. Trying again.`,
    also: then === "" ? "" : `Last heard at ${clock(sinceMs)}: ${then}`,
    tone: "lost",
    flash: true,
  });
  write(byId("announce"), `No link to rodeward since ${clock(sinceMs)}`);
  write(byId("ages"), "no data");
  show(byId("picture"), false);
  show(byId("alerting"), false);
}

function headline(is: Omit<Headline, "tone"> & { tone: Headline["tone"] | "lost" }): void {
  const head = byId("head");
  head.dataset.tone = is.tone;
  head.dataset.flash = is.flash ? "yes" : "no";
  write(byId("words"), is.words);
  write(byId("why"), is.why);
  write(byId("also"), is.also);
  show(byId("why"), is.why !== "");
  show(byId("also"), is.also !== "");
  write(document.querySelector("title") ?? head, `${is.words} · rodeward`);
}

function lineOf(line: Figure): HTMLElement {
  const group = make("div", line.look);
  const value = make("dd", "");
  value.append(make("span", "value", line.value));
  if (line.note !== "") value.append(make("span", "note", line.note));
  group.append(make("dt", "", line.label), value);
  return group;
}
