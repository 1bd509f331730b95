/** The page comes alive: link, view, pairing and the buttons of the alerts. */
import type { BoatState } from "../boat-state.ts";
import { type Command, createAlertList } from "./alert-list.ts";
import { type Answer, post, type Standing, standing } from "./ask.ts";
import { byId, show, write } from "./dom.ts";
import { openLink } from "./link.ts";
import { createView } from "./view.ts";

const view = createView();
const alertList = createAlertList((key, command) => void answerAlert(key, command));
let is: Standing | undefined;
let last: { state: BoatState; atMs: number } | undefined;
let lostSinceMs: number | undefined;

function draw(): void {
  if (last === undefined || lostSinceMs !== undefined) return;
  view.picture(last.state, is?.units ?? "metric");
  alertList.update(last.state.alerts, is?.paired ?? false);
}

async function learnStanding(): Promise<void> {
  is = (await standing()) ?? is;
  show(byId("pairing"), is !== undefined && !is.paired);
  draw();
}

const DONE: Readonly<Record<Command, string>> = { acknowledge: "Acknowledged.", silence: "Silenced." };

async function answerAlert(key: string, command: Command): Promise<void> {
  const answer = await post(`/api/alerts/${encodeURIComponent(key)}/${command}`);
  write(byId("answer"), wordsFor(answer, DONE[command]));
  if (answer.kind === "unpaired") await learnStanding();
  // The button that was pressed is about to go: a keyboard must not fall back to the top of the page.
  if (answer.kind === "ok") byId("alerts-title").focus({ preventScroll: true });
}

function wordsFor(answer: Answer, done: string): string {
  if (answer.kind === "ok") return done;
  return answer.kind === "unpaired" ? "This phone is not paired." : `Not done: ${answer.words}.`;
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
  if (answer.kind === "ok") write(byId("answer"), "This phone is paired.");
  await learnStanding();
}

const scheme = location.protocol === "https:" ? "wss" : "ws";
openLink(`${scheme}://${location.host}/ws`, {
  picture(state) {
    const isBack = lostSinceMs !== undefined;
    lostSinceMs = undefined;
    last = { state, atMs: Date.now() };
    draw();
    // rodeward may have been restarted meanwhile, with another PIN or other units.
    if (isBack || is === undefined) void learnStanding();
  },
  lost(sinceMs) {
    lostSinceMs = sinceMs;
    view.lost(sinceMs, last?.state);
  },
});

setInterval(() => {
  if (last !== undefined && lostSinceMs === undefined)
    view.ages(last.state, Math.max(0, (Date.now() - last.atMs) / 1000));
}, 1000);
