/** What is heard: the tone that the alerts ask for, the callout in words, and the state of both on the page. */
import type { BoatState } from "../boat-state.ts";
import { byId, write } from "./dom.ts";
import type { Headline } from "./headline.ts";
import { createSound, type Tone } from "./sound.ts";
import { createWake } from "./wake.ts";
import { sounds } from "./words.ts";

const LEAST_APART_MS = 5000;

/** @param armed told whether an alarm would be heard here */
export function createHearing(mayspeak: () => boolean, armed: (isArmed: boolean) => void) {
  const button = byId("sound");
  const wake = createWake(told);
  const sound = createSound(told);
  let said = "";
  let saidAtMs = Number.NEGATIVE_INFINITY;

  function told(): void {
    const state = sound.state();
    button.dataset.sound = state;
    write(button, sounds[state]);
    wake.want(state === "armed");
    armed(state === "armed");
    const screen = wake.isHeld() ? sounds.screenOn : sounds.screenMaySleep;
    write(byId("screen"), state === "armed" ? screen : sounds.screenFree);
  }

  button.addEventListener("click", () => {
    if (sound.state() === "armed") sound.disarm();
    else void sound.arm();
  });
  told();

  return {
    picture(state: BoatState, headline: Headline): void {
      sound.due(toneOf(state));
      const words = `${headline.words}. ${headline.tone === "alarm" ? headline.why : ""}`;
      // At anchor only what is wrong is spoken; with hands full on deck, every order.
      const isQuiet = state.phase === "riding" && headline.tone !== "alarm" && headline.tone !== "warning";
      if (isQuiet) {
        said = "";
        return;
      }
      if (headline.words === said || !mayspeak() || sound.state() !== "armed") return;
      if (performance.now() - saidAtMs < LEAST_APART_MS) return;
      said = headline.words;
      saidAtMs = performance.now();
      sound.say(spoken(words));
    },
    lost(): void {
      sound.due("no-link");
      said = "";
    },
  };
}

function toneOf({ alerts }: BoatState): Tone | undefined {
  const open = alerts.filter((alert) => alert.state === "unacknowledged");
  if (open.some(({ priority }) => priority === "alarm")) return "alarm";
  return open.some(({ priority }) => priority === "warning") ? "warning" : undefined;
}

/** Units as words: a voice reads "m" as a letter. */
function spoken(text: string): string {
  return text
    .replace(/(\d)\s*m\b/g, "$1 metres")
    .replace(/(\d)\s*ft\b/g, "$1 feet")
    .replace(/(\d)\s*kn\b/g, "$1 knots")
    .replaceAll("±", "give or take");
}
