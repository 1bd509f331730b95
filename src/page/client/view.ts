/** Writes the picture, or its loss, into the document. */
import type { BoatState, StateAlert, StatePort } from "../boat-state.ts";
import { byId, make, show, write } from "./dom.ts";
import { type Figure, figuresOf } from "./figures.ts";
import { agesOf, byUrgency, type Headline, headlineOf, shortAges } from "./headline.ts";
import { clock, plainText, type Speak } from "./wording.ts";
import { alertWords, headlines } from "./words.ts";

/** What is drawn live, and hidden when it no longer is. */
const LIVE = ["picture", "told", "wires"];

export function createView() {
  const figures = byId("figures");
  // It may be wider than the phone: then keys must reach it.
  byId("wires-wide").tabIndex = 0;
  let written = "";
  let announced: ReadonlySet<string> = new Set();

  /** Returns what is said, for the voice. */
  function picture(state: BoatState, speak: Speak): Headline {
    const is = headlineOf(state, speak);
    headline(is);
    ages(state, 0);
    for (const id of LIVE) show(byId(id), true);
    writeFigures(figuresOf(state, speak));
    writePorts(state.ports);
    announce(state.alerts);
    return is;
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
      byId("announce").textContent = `${first.priority}: ${alertWords(first.key)}. ${plainText(first.text)}`;
  }

  return { picture, ages, lost };
}

function ages(state: BoatState, laterS: number): void {
  write(byId("ages"), shortAges(state, laterS));
  write(byId("all-ages"), agesOf(state, laterS));
}

/** Nothing that was true then may look as if it were true now: all figures go. */
function lost(sinceMs: number, last: BoatState | undefined): void {
  const since = clock(sinceMs);
  const then = last?.callout ?? "";
  headline({
    words: headlines.noLink,
    why: headlines.noLinkWhy(since),
    also: then === "" ? "" : headlines.lastHeard(since, then),
    steps: [],
    tone: "lost",
    flash: true,
  });
  write(byId("announce"), `${headlines.noLink} ${since}`);
  write(byId("ages"), headlines.noData);
  for (const id of [...LIVE, "alerting"]) show(byId(id), false);
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
  writeSteps(is.steps);
  write(document.querySelector("title") ?? head, `${is.words} · rodeward`);
}

function writeSteps(steps: readonly string[]): void {
  const list = byId("steps");
  show(list, steps.length > 0);
  while (list.children.length > steps.length) list.lastElementChild?.remove();
  steps.forEach((step, i) => {
    const item = list.children[i] ?? list.appendChild(make("li", ""));
    write(item, step);
  });
}

/** Rows are kept: only what has changed in them is written. */
function writePorts(ports: readonly StatePort[]): void {
  const body = byId("ports");
  while (body.children.length > ports.length) body.lastElementChild?.remove();
  for (const [i, { name, state, lines, refused, sent, dropped, replaced }] of ports.entries()) {
    const row = body.children[i] ?? body.appendChild(portRow());
    const cells = [name, state, lines, refused, sent, dropped, replaced];
    for (const [n, cell] of cells.entries()) {
      const at = row.children[n];
      if (at !== undefined) write(at, String(cell));
    }
  }
}

const FIGURES_OF_PORT = 6;

function portRow(): HTMLElement {
  const row = make("tr", "");
  const name = make("th", "");
  name.setAttribute("scope", "row");
  row.append(name, ...Array.from({ length: FIGURES_OF_PORT }, () => make("td", "")));
  return row;
}

function lineOf(line: Figure): HTMLElement {
  const group = make("div", line.look);
  const value = make("dd", "");
  if (line.value !== "") value.append(make("span", "value", line.value));
  if (line.note !== "") value.append(make("span", "note", line.note));
  group.append(make("dt", "", line.label), value);
  return group;
}
