/** Settings: those of the night with a field each, everything else as it was read. Fetched when they are opened. */
import type { SettingLine, SettingsState } from "../settings-state.ts";
import { type Answer, got, post } from "./ask.ts";
import { byId, make, write } from "./dom.ts";
import { settingNames, settingsWords } from "./words.ts";

export interface SettingsView {
  /** Whether this phone may set any. */
  paired(isPaired: boolean): void;
}

/** @param changed a setting was taken */
export function createSettingsView(changed: () => void): SettingsView {
  const details = byId("settings-details") as HTMLDetailsElement;
  const answer = byId("settings-answer");
  let isPaired = false;

  async function fill(): Promise<void> {
    const state = await got<SettingsState>("/api/settings");
    if (state === undefined) return write(answer, settingsWords.noAnswer);
    const edited = state.settings.filter(({ edit }) => edit !== null);
    const read = state.settings.filter(({ edit }) => edit === null);
    byId("settings-edit").replaceChildren(...edited.map(formOf));
    byId("settings-read").replaceChildren(...read.flatMap(rowOf));
    write(byId("settings-file"), settingsWords.elsewhere(state.file));
  }

  function formOf(line: SettingLine): HTMLElement {
    const form = document.createElement("form");
    const id = `set-${line.key}`;
    const label = make("label", "", settingNames[line.key] ?? line.key);
    label.setAttribute("for", id);
    const field = fieldOf(line, id);
    const send = document.createElement("button");
    send.type = "submit";
    send.textContent = settingsWords.set;
    send.setAttribute("aria-label", `${settingsWords.set}: ${settingNames[line.key] ?? line.key}`);
    for (const part of [field, send]) part.disabled = !isPaired;
    const row = make("div", "setting");
    row.append(field, send);
    form.append(label, row);
    if (line.value !== line.filed) form.append(make("p", "soft", settingsWords.filed(line.filed)));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const text = field.value.trim();
      void set(line, text === "" ? settingsWords.unset : text);
    });
    return form;
  }

  async function set({ key }: SettingLine, value: string): Promise<void> {
    const name = settingNames[key] ?? key;
    write(answer, settingsWords.sent(name));
    const taken = await post("/api/settings", { key, value });
    write(answer, wordsFor(taken, settingsWords.taken(name, value)));
    if (taken.kind !== "ok") return;
    changed();
    await fill();
  }

  details.addEventListener("toggle", () => {
    if (details.open) void fill();
  });
  return {
    paired(now) {
      if (now === isPaired) return;
      isPaired = now;
      if (details.open) void fill();
      write(answer, isPaired ? "" : settingsWords.pairFirst);
    },
  };
}

function wordsFor(answer: Answer, taken: string): string {
  if (answer.kind === "ok") return taken;
  if (answer.kind === "unknown") return answer.words;
  return answer.kind === "unpaired" ? settingsWords.pairFirst : settingsWords.notTaken(answer.words);
}

function fieldOf({ value, edit }: SettingLine, id: string): HTMLInputElement | HTMLSelectElement {
  if (edit !== null && edit.choices.length > 0) {
    const select = document.createElement("select");
    select.id = id;
    for (const choice of edit.choices) select.append(new Option(choice, choice, false, choice === value));
    return select;
  }
  const input = document.createElement("input");
  Object.assign(input, { id, value: value ?? "", autocomplete: "off", maxLength: 30 });
  if (edit !== null) input.placeholder = edit.mayUnset ? settingsWords.notSet : edit.example;
  input.required = edit?.mayUnset !== true;
  return input;
}

function rowOf({ key, says, value }: SettingLine): HTMLElement[] {
  const told = make("dd", "", value ?? settingsWords.notSet);
  told.append(make("small", "soft", says));
  return [make("dt", "", key), told];
}
