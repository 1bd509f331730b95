/** The page comes alive: link, view, drawing, acts, sound, and what this viewer wishes. */
import type { BoatState } from "../boat-state.ts";
import { createActBar } from "./act-bar.ts";
import { type ActRow, type BarAct, rowOf } from "./act-rows.ts";
import { createActSheet } from "./act-sheet.ts";
import { type Command, createAlertList } from "./alert-list.ts";
import { createAnswerLine } from "./answer-line.ts";
import { type Answer, post, type Standing, standing } from "./ask.ts";
import { byId, show, write } from "./dom.ts";
import { createDrawingView } from "./drawing-view.ts";
import { createHearing } from "./hearing.ts";
import { type Link, openLink } from "./link.ts";
import { placeFrom } from "./place.ts";
import { createSettingsView } from "./settings-view.ts";
import { createTrackKeeper } from "./track-keeper.ts";
import { createView } from "./view.ts";
import { speakOf } from "./viewer.ts";
import { createViewing } from "./viewing.ts";
import { bearing, coarseLength, type Speak } from "./wording.ts";
import { acts } from "./words.ts";

const view = createView();
const drawing = createDrawingView();
const answerLine = createAnswerLine(() => void send(rowOf("UNDO"), {}));
const viewing = createViewing(() => draw());
const hearing = createHearing(
  () => viewing.viewer().speech,
  (isArmed) => link?.hears(isArmed),
);
const track = createTrackKeeper(() => draw());
const alertList = createAlertList((key, command) => void answerAlert(key, command));
const sheet = createActSheet({ send: (row, values) => void send(row, values) });
const settingsView = createSettingsView(() => void learnStanding());
const bar = createActBar({ act: (act) => void press(act), again: () => answerLine.tell(acts.pressAgain) });
let link: Link | undefined;
let is: Standing | undefined;
let last: { state: BoatState; atMs: number } | undefined;
let lostSinceMs: number | undefined;

function speak(): Speak {
  return speakOf(viewing.viewer(), is?.units);
}

function draw(): void {
  if (last === undefined || lostSinceMs !== undefined) return;
  const { state } = last;
  const said = view.picture(state, speak());
  hearing.picture(state, said);
  viewing.picture(state);
  alertList.update(state.alerts, is?.paired ?? false, speak());
  bar.update(state, speak(), is?.paired === true ? undefined : acts.pairToAct);
  sheet.update(state, speak());
  show(byId("act-more"), is?.paired === true);
  drawing.draw({
    state,
    track: track.track(),
    speak: speak(),
    turn: viewing.viewer().turn,
    grid: viewing.viewer().grid,
  });
}

async function learnStanding(): Promise<void> {
  is = (await standing()) ?? is;
  show(byId("pairing"), is !== undefined && !is.paired);
  settingsView.paired(is?.paired ?? false);
  draw();
}

byId("act-more").addEventListener("click", () => sheet.all());

async function press(act: BarAct): Promise<void> {
  if (act.kind === "act") {
    const row = rowOf(act.verb);
    if (row.guard === "form") sheet.open(row);
    else await send(row, {});
  } else if (act.kind === "veered") {
    const { lengths } = speak();
    const length = coarseLength(act.requiredM, lengths, "ceil");
    await send(rowOf("RODE"), { length }, acts.veeredTo(length));
  } else {
    const command = act.kind === "quiet" ? "acknowledge" : "silence";
    const answers = await Promise.all(act.keys.map((key) => post(alertPath(key, command))));
    const bad = answers.find((answer) => answer.kind !== "ok");
    const done = act.kind === "quiet" ? acts.imUpDone : acts.silenced;
    answerLine.tell(bad === undefined ? done : wordsFor(bad, ""));
  }
}

/** The only plain numbers in an act are bearings. */
function told(value: unknown): string {
  return typeof value === "number" ? bearing(value) : String(value);
}

/** Told as done only when the daemon has taken it. */
async function send(
  row: ActRow,
  values: Readonly<Record<string, unknown>>,
  what = [row.label.replace("…", ""), ...Object.values(values).map(told)].join(" "),
): Promise<void> {
  const sent = row.fromBoat === true ? placed(values) : { ...values, ...row.with };
  if (sent === undefined) return answerLine.tell(acts.notTaken(acts.noPlace));
  answerLine.tell(`${what}: ${acts.sent}`);
  const answer = await post("/api/act", { verb: row.verb, ...sent });
  answerLine.tell(wordsFor(answer, acts.taken(what)), answer.kind === "ok" && row.verb !== "UNDO");
  if (answer.kind === "unpaired") await learnStanding();
}

function placed({ bearingDeg, range }: Readonly<Record<string, unknown>>) {
  if (last === undefined || typeof bearingDeg !== "number") return undefined;
  const position = placeFrom(last.state.position, bearingDeg, String(range), speak().lengths);
  return position && { position };
}

function alertPath(key: string, command: Command): string {
  return `/api/alerts/${encodeURIComponent(key)}/${command}`;
}

const DONE: Readonly<Record<Command, string>> = { acknowledge: acts.acknowledged, silence: acts.silenced };

async function answerAlert(key: string, command: Command): Promise<void> {
  const answer = await post(alertPath(key, command));
  answerLine.tell(wordsFor(answer, DONE[command]));
  if (answer.kind === "unpaired") await learnStanding();
  // The button that was pressed is about to go: a keyboard must not fall back to the top of the page.
  if (answer.kind === "ok") byId("alerts-title").focus({ preventScroll: true });
}

function wordsFor(answer: Answer, done: string): string {
  if (answer.kind === "ok") return done;
  if (answer.kind === "unknown") return answer.words;
  return answer.kind === "unpaired" ? acts.unpaired : acts.notTaken(answer.words);
}

byId("pair").addEventListener("submit", (event) => {
  event.preventDefault();
  void pair();
});

async function pair(): Promise<void> {
  const pin = byId("pin");
  if (!(pin instanceof HTMLInputElement)) return;
  const answer = await post("/api/session", { pin: pin.value.trim() });
  pin.value = "";
  write(byId("pair-answer"), answer.kind === "ok" ? "" : wordsFor(answer, ""));
  if (answer.kind === "ok") {
    answerLine.tell(acts.paired);
    window.scrollTo(0, 0);
  }
  await learnStanding();
}

const scheme = location.protocol === "https:" ? "wss" : "ws";
link = openLink(`${scheme}://${location.host}/ws`, {
  picture(state) {
    const isBack = lostSinceMs !== undefined || last === undefined;
    lostSinceMs = undefined;
    last = { state, atMs: Date.now() };
    draw();
    // rodeward may have been restarted meanwhile, with another PIN, other units or another night.
    if (isBack || is === undefined) {
      void learnStanding();
      track.forget();
    }
  },
  lost(sinceMs) {
    lostSinceMs = sinceMs;
    view.lost(sinceMs, last?.state);
    hearing.lost();
    bar.close(acts.noLink);
    show(byId("act-more"), false);
  },
});

setInterval(() => {
  if (last !== undefined && lostSinceMs === undefined)
    view.ages(last.state, Math.max(0, (Date.now() - last.atMs) / 1000));
}, 1000);

if ("serviceWorker" in navigator)
  navigator.serviceWorker.register("/page/client/worker.js", { scope: "/" }).catch(() => {
    // Without it the page works all the same, but does not open without the daemon.
  });
