/** The line above the acts: what became of the last one, and for a minute the way back. */
import { byId, make, write } from "./dom.ts";
import { acts } from "./words.ts";

const UNDO_MS = 55_000;
const TOLD_MS = 12_000;

export interface AnswerLine {
  tell(text: string, mayUndo?: boolean): void;
}

export function createAnswerLine(undo: () => void): AnswerLine {
  const line = byId("answer");
  const words = make("span", "");
  const button = document.createElement("button");
  button.type = "button";
  button.className = "small";
  button.textContent = acts.undo;
  button.addEventListener("click", undo);
  let going: ReturnType<typeof setTimeout> | undefined;
  return {
    tell(text, mayUndo = false) {
      clearTimeout(going);
      if (!words.isConnected) line.append(words);
      write(words, text);
      if (mayUndo) line.append(button);
      else button.remove();
      going = setTimeout(() => line.replaceChildren(), mayUndo ? UNDO_MS : TOLD_MS);
    },
  };
}
