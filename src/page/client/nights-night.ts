/** One night: what is looked at (a part of it, an instant of it) and all that shows it. */
import type { NightSeries } from "../night-state.ts";
import { post } from "./ask.ts";
import { byId, make, show, write } from "./dom.ts";
import { asked } from "./nights-asked.ts";
import type { Reviewing } from "./nights-list.ts";
import { createPlots } from "./nights-plots.ts";
import { createReplay } from "./nights-replay.ts";
import { offerRerun } from "./nights-rerun.ts";
import { actWords, alertLine, dayAndTime, NO_UTC, placeWords, review, summaryWords } from "./nights-words.ts";
import { clock, type Speak } from "./wording.ts";

const LEAST_SPAN_S = 120;
const SETTLE_MS = 250;
const MOST_COLUMNS = 700;
const KINDS = ["gpx", "csv", "geojson", "nmea"] as const;
const FORMS = { gpx: "GPX", csv: "CSV", geojson: "GeoJSON", nmea: "sentences" };

export async function showNight(
  id: number,
  speaking: () => Promise<Speak>,
  paired: () => Promise<boolean>,
): Promise<Reviewing> {
  const path = `/api/nights/${id}`;
  const columns = Math.min(MOST_COLUMNS, Math.max(200, Math.round(document.documentElement.clientWidth)));
  const [whole, speak] = await Promise.all([asked<NightSeries>(`${path}?width=${columns}`), speaking()]);
  if (typeof whole === "string") return { redraw: () => {}, problem: whole };
  const { night } = whole;
  const fromS = Math.floor(night.beganMs / 1000);
  const toS = Math.max(fromS + LEAST_SPAN_S, Math.ceil(night.lastMs / 1000));
  let span: [number, number] = [fromS, toS];
  let cursorS = firstLook(whole);
  let settling: ReturnType<typeof setTimeout> | undefined;

  const setCursor = (atS: number): void => {
    cursorS = Math.round(Math.min(toS, Math.max(fromS, atS)));
    plots.cursor(cursorS);
    replay.cursor(cursorS);
  };
  const setSpan = (wishedFromS: number, wishedToS: number): void => {
    const lengthS = Math.min(toS - fromS, Math.max(LEAST_SPAN_S, wishedToS - wishedFromS));
    const from = Math.min(toS - lengthS, Math.max(fromS, wishedFromS));
    span = [from, from + lengthS];
    plots.look(span);
    replay.look({ fromS: span[0], toS: span[1] });
    if (cursorS < span[0] || cursorS > span[1]) setCursor(span[0]);
    else plots.cursor(cursorS);
    writeSpan(span, lengthS < toS - fromS);
    clearTimeout(settling);
    settling = setTimeout(() => void refine(), SETTLE_MS);
  };
  /** What is looked at closely is asked for in columns of its own. */
  const refine = async (): Promise<void> => {
    const [from, to] = span;
    const isAll = to - from >= toS - fromS;
    const query = `width=${columns}&from=${Math.floor(from * 1000)}&to=${Math.ceil(to * 1000)}`;
    const finer = isAll ? whole : await asked<NightSeries>(`${path}?${query}`);
    if (typeof finer === "string" || span[0] !== from || span[1] !== to) return;
    plots.update(finer, speak);
    plots.cursor(cursorS);
    replay.refine(isAll ? undefined : finer);
  };

  show(byId("one"), true);
  document.body.classList.add("one-night");
  const plots = createPlots(byId("plots"), { cursor: setCursor, zoom: setSpan });
  const replay = createReplay({ id, series: whole, speak, cursor: setCursor, span: () => span });
  writeHead(whole, speak);
  plots.show(whole, speak, span);
  setCursor(cursorS);
  writeSpan(span, false);
  // The rest when the first picture stands.
  requestAnimationFrame(() => {
    writeLists(whole, setCursor);
    void offerRerun(whole, speak, paired);
    void offerName(id, night.place, paired);
  });

  const by = (factor: number) => () => {
    const half = ((span[1] - span[0]) * factor) / 2;
    setSpan(cursorS - half, cursorS + half);
  };
  byId("closer").addEventListener("click", by(0.5));
  byId("wider").addEventListener("click", by(2));
  byId("all").addEventListener("click", () => setSpan(fromS, toS));
  byId("plots").addEventListener("dblclick", () => setSpan(fromS, toS));
  byId("plots").addEventListener(
    "wheel",
    (event) => {
      // The wheel alone scrolls the page.
      if (!event.ctrlKey && !event.shiftKey) return;
      event.preventDefault();
      by(event.deltaY + event.deltaX > 0 ? 1.25 : 0.8)();
    },
    { passive: false },
  );
  new ResizeObserver(() => {
    plots.resize();
    plots.cursor(cursorS);
  }).observe(byId("plots"));
  return {
    redraw() {
      plots.show(whole, speak, span);
      void refine();
      plots.cursor(cursorS);
      replay.redraw();
    },
    problem: undefined,
  };
}

/** Where the night was at its worst: the first alarm, else the strongest gust. */
function firstLook({ night, bands, atS }: NightSeries): number {
  const alarm = night.alertList.find(({ alarmMs }) => alarmMs !== null);
  if (alarm?.alarmMs != null) return alarm.alarmMs / 1000;
  let best = Math.floor(atS.length / 2);
  for (const [i, gust] of bands.gustMps.max.entries())
    if (gust !== null && gust > (bands.gustMps.max[best] ?? 0)) best = i;
  return atS[best] ?? night.beganMs / 1000;
}

function writeHead({ night }: NightSeries, speak: Speak): void {
  const title = placeWords(night);
  write(byId("title"), title);
  write(byId("when"), `${dayAndTime(Date.parse(night.letGo))}. ${summaryWords(night, speak)}`);
  write(byId("clock-note"), night.utcKnown ? "" : NO_UTC);
  document.title = `${title} · rodeward`;
}

function writeSpan([fromS, toS]: readonly [number, number], isPart: boolean): void {
  write(byId("span"), `${clock(fromS * 1000)} to ${clock(toS * 1000)}`);
  show(byId("all"), isPart);
}

function writeLists({ night }: NightSeries, look: (atS: number) => void): void {
  const alerts = night.alertList.map((alert) => {
    const item = make("li", "");
    item.dataset.priority = alert.priority;
    const button = item.appendChild(make("button", "text", alertLine(alert)));
    button.setAttribute("type", "button");
    button.addEventListener("click", () => look(alert.raisedMs / 1000));
    return item;
  });
  byId("night-alerts").replaceChildren(...alerts);
  show(byId("no-alerts"), alerts.length === 0);
  const events = [
    ...night.phases.map(({ atMs, phase }) => ({ atMs, text: phase })),
    ...night.acts.map(({ atMs, text, answer }) => ({ atMs, text: actWords(text, answer) })),
  ].sort((a, b) => a.atMs - b.atMs);
  byId("events").replaceChildren(
    ...events.map(({ atMs, text }) => make("li", "", `${clock(atMs)}  ${text}`)),
  );
  const links = KINDS.filter((kind) => kind !== "nmea" || night.raw.lines > 0).map((kind) => {
    const anchor = make("a", "", FORMS[kind]);
    anchor.setAttribute("href", `/api/nights/${night.id}.${kind}`);
    anchor.setAttribute("download", `night-${night.id}.${kind}`);
    return anchor;
  });
  byId("exports").replaceChildren(...links);
}

async function offerName(id: number, place: string | null, paired: () => Promise<boolean>): Promise<void> {
  const field = byId("place-name") as HTMLInputElement;
  field.value = place ?? "";
  show(byId("naming"), await paired());
  byId("naming").addEventListener("submit", (event) => {
    event.preventDefault();
    void post(`/api/nights/${id}/place`, { name: field.value }).then((answer) => {
      const words =
        "words" in answer ? answer.words : { ok: review.named, unpaired: review.unpaired }[answer.kind];
      write(byId("naming-answer"), words);
      if (answer.kind === "ok" && field.value.trim() !== "") write(byId("title"), field.value.trim());
    });
  });
}
