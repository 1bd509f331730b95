/** Tones and speech. Armed by one tap, as browsers ask; the armed state is always told. */

export type Tone = "alarm" | "warning" | "no-link";

interface Beep {
  atS: number;
  hz: number;
  lastsS: number;
}

/** Alarm: three rising pairs, again and again. Warning: two calm tones, now and then. No link: two falling. */
const TONES: Readonly<Record<Tone, { everyMs: number; beeps: readonly Beep[]; buzz: number[] }>> = {
  alarm: {
    everyMs: 2000,
    beeps: [0, 0.45, 0.9].flatMap((atS) => [
      { atS, hz: 740, lastsS: 0.18 },
      { atS: atS + 0.2, hz: 988, lastsS: 0.18 },
    ]),
    buzz: [350, 150, 350, 150, 350],
  },
  warning: {
    everyMs: 15_000,
    beeps: [
      { atS: 0, hz: 587, lastsS: 0.25 },
      { atS: 0.35, hz: 587, lastsS: 0.25 },
    ],
    buzz: [200, 200, 200],
  },
  "no-link": {
    everyMs: 4000,
    beeps: [
      { atS: 0, hz: 660, lastsS: 0.35 },
      { atS: 0.4, hz: 440, lastsS: 0.6 },
    ],
    buzz: [600],
  },
};

const LOUD = 0.5;
const RISE_S = 0.01;

export type SoundState = "none" | "off" | "armed" | "asleep";

export interface Sound {
  state(): SoundState;
  /** Within a tap. Sounds the alarm tone once, so that one hears what one has armed. */
  arm(): Promise<void>;
  disarm(): void;
  /** The tone that is due now, repeated by itself; undefined for quiet. */
  due(tone: Tone | undefined): void;
  say(text: string): void;
}

export function createSound(changed: () => void): Sound {
  let context: AudioContext | undefined;
  let now: Tone | undefined;
  let repeating: ReturnType<typeof setInterval> | undefined;
  const isThere = "AudioContext" in window;

  function beep(tone: Tone): void {
    if (context?.state !== "running") return;
    for (const { atS, hz, lastsS } of TONES[tone].beeps) {
      const oscillator = context.createOscillator();
      const gain = context.createGain();
      const beginS = context.currentTime + atS;
      oscillator.type = "square";
      oscillator.frequency.value = hz;
      gain.gain.setValueAtTime(0, beginS);
      gain.gain.linearRampToValueAtTime(LOUD, beginS + RISE_S);
      gain.gain.setValueAtTime(LOUD, beginS + lastsS - RISE_S);
      gain.gain.linearRampToValueAtTime(0, beginS + lastsS);
      oscillator.connect(gain).connect(context.destination);
      oscillator.start(beginS);
      oscillator.stop(beginS + lastsS);
    }
    if ("vibrate" in navigator) navigator.vibrate(TONES[tone].buzz);
  }

  function state(): SoundState {
    if (!isThere) return "none";
    if (context === undefined) return "off";
    return context.state === "running" ? "armed" : "asleep";
  }

  return {
    state,
    async arm() {
      if (!isThere) return;
      context ??= new AudioContext();
      context.onstatechange = changed;
      await context.resume();
      beep(now ?? "alarm");
      changed();
    },
    disarm() {
      void context?.close();
      context = undefined;
      changed();
    },
    due(tone) {
      if (tone === now) return;
      now = tone;
      clearInterval(repeating);
      if (tone === undefined) {
        if ("vibrate" in navigator) navigator.vibrate(0);
        return;
      }
      beep(tone);
      repeating = setInterval(() => beep(tone), TONES[tone].everyMs);
    },
    say(text) {
      if (state() !== "armed" || !("speechSynthesis" in window)) return;
      speechSynthesis.cancel();
      const utterance = new SpeechSynthesisUtterance(text);
      utterance.lang = "en";
      speechSynthesis.speak(utterance);
    },
  };
}
