/** Lines and words as data, and the one place that puts them into an SVG. Only what changed is written. */
import type { Spot } from "./frame.ts";
import type { Measure, Placed } from "./labels.ts";

export interface Ink {
  tag: "path" | "circle" | "rect" | "text";
  /** Classes carry the look; nothing here knows a colour. */
  look: string;
  at: Readonly<Record<string, number | string>>;
  text?: string;
}

const SVG = "http://www.w3.org/2000/svg";

export function paint(svg: SVGElement, inks: readonly Ink[]): void {
  inks.forEach((ink, i) => {
    write(elementAt(svg, i, ink.tag), ink);
  });
  while (svg.children.length > inks.length) svg.lastElementChild?.remove();
}

function elementAt(svg: SVGElement, i: number, tag: Ink["tag"]): Element {
  const there = svg.children[i];
  if (there?.tagName === tag) return there;
  const fresh = document.createElementNS(SVG, tag);
  if (there === undefined) svg.append(fresh);
  else there.replaceWith(fresh);
  return fresh;
}

function write(element: Element, { look, at, text = "" }: Ink): void {
  const wanted = new Map<string, string>([["class", look]]);
  for (const [name, value] of Object.entries(at)) wanted.set(name, String(value));
  for (const { name } of [...element.attributes]) if (!wanted.has(name)) element.removeAttribute(name);
  for (const [name, value] of wanted)
    if (element.getAttribute(name) !== value) element.setAttribute(name, value);
  if (element.textContent !== text) element.textContent = text;
}

const px = (value: number): string => String(Math.round(value * 10) / 10);

/** A row of points as a path. */
export function lineThrough(spots: readonly Spot[], isClosed = false): string {
  const path = spots.map(({ x, y }, i) => `${i === 0 ? "M" : "L"}${px(x)} ${px(y)}`).join("");
  return isClosed ? `${path}Z` : path;
}

export function line(look: string, spots: readonly Spot[], isClosed = false): Ink {
  return { tag: "path", look, at: { d: lineThrough(spots, isClosed) } };
}

export function circle(look: string, { x, y }: Spot, radius: number): Ink {
  return { tag: "circle", look, at: { cx: px(x), cy: px(y), r: px(radius) } };
}

export function rect(look: string, left: number, top: number, width: number, height: number): Ink {
  const at = { x: px(left), y: px(top), width: px(Math.max(0, width)), height: px(Math.max(0, height)) };
  return { tag: "rect", look, at };
}

/** Many strokes as one path. */
export function strokes(look: string, rows: readonly (readonly Spot[])[]): Ink {
  return { tag: "path", look, at: { d: rows.map((row) => lineThrough(row)).join("") } };
}

/** Dots, as one path of lines without length: round caps make them dots. */
export function dots(look: string, spots: readonly Spot[]): Ink {
  return { tag: "path", look, at: { d: spots.map(({ x, y }) => `M${px(x)} ${px(y)}h0`).join("") } };
}

export function words({ id, type, text, x, y, align }: Placed): Ink {
  return {
    tag: "text",
    look: type,
    at: { x: px(x), y: px(y), "text-anchor": align, "data-label": id },
    text,
  };
}

/** Points of an arrow of this length about a centre, pointing so many degrees clockwise from right. */
export function arrow(centre: Spot, length: number, deg: number): { shaft: Spot[]; head: Spot[] } {
  const rad = (deg * Math.PI) / 180;
  const at = (along: number, across: number): Spot => ({
    x: centre.x + along * Math.cos(rad) - across * Math.sin(rad),
    y: centre.y + along * Math.sin(rad) + across * Math.cos(rad),
  });
  const half = length / 2;
  return {
    shaft: [at(-half, 0), at(half, 0)],
    head: [at(half - 9, -5), at(half, 0), at(half - 9, 5)],
  };
}

/** Measures by a canvas, in the fonts that the style sheet gives to each type. */
export function createMeasure(): Measure & { forget(): void } {
  const context = document.createElement("canvas").getContext("2d");
  const fonts = new Map<string, { font: string; sizePx: number }>();
  const widths = new Map<string, number>();

  function fontOf(type: string) {
    const known = fonts.get(type);
    if (known !== undefined) return known;
    const svg = document.createElementNS(SVG, "svg");
    const probe = document.createElementNS(SVG, "text");
    probe.setAttribute("class", type);
    svg.append(probe);
    document.getElementById("drawing")?.append(svg);
    const { fontSize, fontWeight, fontFamily } = getComputedStyle(probe);
    svg.remove();
    const is = { font: `${fontWeight} ${fontSize} ${fontFamily}`, sizePx: Number.parseFloat(fontSize) };
    fonts.set(type, is);
    return is;
  }

  return {
    widthOf(type, text) {
      const key = `${type}\n${text}`;
      const known = widths.get(key);
      if (known !== undefined) return known;
      if (widths.size > 200) widths.clear();
      const { font, sizePx } = fontOf(type);
      if (context !== null) context.font = font;
      const width = context?.measureText(text).width ?? text.length * sizePx * 0.6;
      widths.set(key, width);
      return width;
    },
    heightOf(type) {
      const { sizePx } = fontOf(type);
      return { up: sizePx * 0.95, down: sizePx * 0.28 };
    },
    forget() {
      fonts.clear();
      widths.clear();
    },
  };
}
