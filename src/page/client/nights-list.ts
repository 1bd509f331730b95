/** The list of nights, the places that they make, and all of them in one plot. */
import type { NightLine } from "../night-state.ts";
import { byId, make, show } from "./dom.ts";
import { createMeasure, paint, words } from "./ink.ts";
import { placed } from "./labels.ts";
import { ACROSS_PX, acrossView } from "./nights-across.ts";
import { type Place, placesOf } from "./nights-places.ts";
import {
  alertsWords,
  dayAndTime,
  endingWords,
  figure,
  headings,
  heldWords,
  hoursWords,
  placeWords,
  review,
  spareWords,
} from "./nights-words.ts";
import type { Speak } from "./wording.ts";

export interface Reviewing {
  /** The light has changed, or the room. */
  redraw(): void;
  problem: string | undefined;
}

const FIRST = 60;

export async function showList(
  list: Promise<NightLine[] | string>,
  speaking: () => Promise<Speak>,
): Promise<Reviewing> {
  const nights = await list;
  if (typeof nights === "string") return { redraw: () => {}, problem: nights };
  if (nights.length === 0) return { redraw: () => {}, problem: review.noNights };
  const speak = await speaking();
  show(byId("list"), true);
  writeNights(nights, speak, FIRST);
  fill(
    "places-table",
    headings.places,
    placesOf(nights).map((place) => placeCells(place, speak)),
  );
  const measure = createMeasure();
  const redraw = (): void => {
    const svg = byId("across") as unknown as SVGSVGElement;
    const width = svg.clientWidth;
    if (width === 0) return;
    const { inks, labels, inTheWay, bounds } = acrossView(nights, width, speak);
    svg.setAttribute("viewBox", `0 0 ${width} ${ACROSS_PX}`);
    paint(svg, [...inks, ...placed(labels, inTheWay, bounds, measure).map(words)]);
  };
  redraw();
  new ResizeObserver(redraw).observe(byId("across"));
  return { redraw, problem: undefined };
}

function writeNights(nights: readonly NightLine[], speak: Speak, most: number): void {
  fill(
    "nights-table",
    headings.list,
    nights.slice(0, most).map((night) => nightCells(night, speak)),
  );
  const more = byId("more-nights");
  show(more, nights.length > most);
  more.textContent = review.more(nights.length);
  more.onclick = () => writeNights(nights, speak, nights.length);
}

type Cell = string | HTMLElement;

function nightCells(night: NightLine, speak: Speak): Cell[] {
  const at = `${dayAndTime(Date.parse(night.letGo))}${night.utcKnown ? "" : " ?"}`;
  return [
    link(night.id, at),
    placeWords(night),
    hoursWords(night.hours),
    figure.wind(night.gustMps, speak),
    figure.from(night.windFromDeg),
    figure.scope(night.leastScope),
    spareWords(night.spareM, speak),
    alertsWords(night),
    night.draggedM === null ? "no" : told(figure.metres(night.draggedM, speak)),
    endingWords(night),
  ];
}

function placeCells(place: Place, speak: Speak): Cell[] {
  const { nights, dragged, windiest, leastScope, spareM, mostDraggedM } = place;
  const holding = heldWords(nights.length, dragged.length, mostDraggedM, speak);
  return [
    placeWords({ ...place, place: place.name }),
    String(nights.length),
    dragged.length === 0 ? holding : told(holding),
    windiest === undefined
      ? figure.wind(undefined, speak)
      : `${figure.wind(windiest.meanMps, speak)} ${figure.from(windiest.windFromDeg)}`,
    figure.scope(leastScope),
    spareWords(spareM, speak),
  ];
}

function link(id: number, text: string): HTMLElement {
  const anchor = make("a", "", text);
  anchor.setAttribute("href", `/nights?night=${id}`);
  return anchor;
}

/** A dragged anchor stands out by weight and word, not by hue alone. */
function told(text: string): HTMLElement {
  return make("strong", "dragged", text);
}

export function fill(id: string, heads: readonly string[], rows: readonly Cell[][]): void {
  const head = make("tr", "");
  for (const name of heads) {
    const cell = head.appendChild(make("th", "", name));
    cell.setAttribute("scope", "col");
  }
  const body = rows.map((cells) => {
    const row = make("tr", "");
    for (const [i, cell] of cells.entries()) {
      const own = row.appendChild(make("td", ""));
      // On a phone each cell stands under the other, with its heading.
      own.dataset.label = heads[i] ?? "";
      own.append(cell);
    }
    return row;
  });
  const thead = make("thead", "");
  thead.append(head);
  const tbody = make("tbody", "");
  tbody.append(...body);
  byId(id).replaceChildren(thead, tbody);
}
