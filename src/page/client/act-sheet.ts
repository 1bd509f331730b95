/** The sheet of all acts, and the form of one: a dial for lengths and speeds with the common values. */
import type { BoatState } from "../boat-state.ts";
import { ACT_ROWS, type ActField, type ActRow } from "./act-rows.ts";
import { byId, make, show, write } from "./dom.ts";
import { guardByHold } from "./hold.ts";
import { suggestedRiseM } from "./tide-lines.ts";
import { metresPer, type Speak, unitName } from "./wording.ts";
import { acts } from "./words.ts";

export interface SheetEvents {
  send(row: ActRow, values: Readonly<Record<string, unknown>>): void;
}

export function createActSheet(events: SheetEvents) {
  const sheet = byId("acts-sheet") as HTMLDialogElement;
  const list = byId("acts-list");
  const form = byId("act-form") as HTMLFormElement;
  const title = byId("acts-title");
  let state: BoatState | undefined;
  let speak: Speak = { lengths: "metric", speeds: "kn" };
  let row: ActRow | undefined;
  let read: (() => Record<string, unknown>) | undefined;

  const buttons = new Map(ACT_ROWS.map((one) => [one, buttonOf(one)]));
  list.append(...buttons.values());

  function buttonOf(one: ActRow): HTMLElement {
    const button = document.createElement("button");
    button.type = "button";
    button.dataset.verb = one.with === undefined ? one.verb : `${one.verb}-BALL`;
    const note = make("small", "", one.guard === "hold" ? `${one.note}; ${acts.hold}` : one.note);
    button.append(make("span", "", one.label), note);
    guardByHold(button, () => one.guard === "hold", {
      done: () => {
        if (one.guard === "form") open(one);
        else {
          sheet.close();
          events.send(one, {});
        }
      },
      again: () => write(note, acts.pressAgain),
    });
    return button;
  }

  function fitPhase(): void {
    for (const [one, button] of buttons)
      show(button, state !== undefined && one.phases.includes(state.phase));
  }

  function open(one: ActRow): void {
    row = one;
    write(title, one.label.replace("…", ""));
    show(list, false);
    show(form, true);
    const fields = one.fields.map((field) => fieldOf(field, one, state, speak));
    read = () => Object.assign({}, ...fields.map((field) => field.read())) as Record<string, unknown>;
    byId("act-fields").replaceChildren(...fields.map(({ root }) => root));
    show(byId("act-splice"), one.verb === "RODE");
    if (!sheet.open) sheet.showModal();
    byId("act-send").focus();
  }

  function all(): void {
    row = undefined;
    fitPhase();
    write(title, acts.more);
    show(list, true);
    show(form, false);
    if (!sheet.open) sheet.showModal();
  }

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const values = read?.();
    sheet.close();
    if (row !== undefined && values !== undefined) events.send(row, values);
  });
  const splice = byId("act-splice");
  guardByHold(splice, () => true, {
    done: () => {
      const one = ACT_ROWS.find(({ verb }) => verb === "SPLICE");
      sheet.close();
      if (one !== undefined) events.send(one, {});
    },
    again: () => write(splice, acts.pressAgain),
  });
  for (const id of ["acts-close", "act-cancel"]) byId(id).addEventListener("click", () => sheet.close());

  return {
    all,
    open,
    update(next: BoatState, nextSpeak: Speak): void {
      state = next;
      speak = nextSpeak;
      if (sheet.open && row === undefined) fitPhase();
    },
  };
}

interface Field {
  root: HTMLElement;
  read(): Record<string, unknown>;
}

function fieldOf(field: ActField, row: ActRow, state: BoatState | undefined, speak: Speak): Field {
  if (field.kind === "length") return dial(field, lengthDial(row, state, speak));
  if (field.kind === "speed") return dial(field, speedDial(state, speak));
  return plainField(field);
}

interface Dial {
  unit: string;
  step: number;
  most: number;
  begin: number;
  common: readonly number[];
}

/** Common lengths: marks that a rode of this kind has. */
const COMMON: Readonly<Record<Speak["lengths"], readonly number[]>> = {
  metric: [15, 20, 25, 30, 40, 50, 60, 70],
  feet: [50, 75, 100, 125, 150, 200, 250, 300],
  fathoms: [5, 10, 15, 20, 25, 30, 40],
};

function lengthDial(row: ActRow, state: BoatState | undefined, { lengths }: Speak): Dial {
  const perUnitM = metresPer(lengths);
  const unit = unitName(lengths);
  if (row.verb === "RISE") {
    const step = lengths === "metric" ? 0.1 : 0.5;
    // What the sounder suggests stands ready: sending it is the operator's word.
    const tide = state?.guidance?.tide;
    const suggestedM = tide === undefined ? 0 : (suggestedRiseM(tide) ?? 0);
    const begin = Math.round(suggestedM / perUnitM / step) * step;
    return { unit, step, most: Math.round(15 / perUnitM), begin, common: [0.5, 1, 1.5, 2, 3, 4] };
  }
  if (row.verb !== "RODE")
    return {
      unit,
      step: 1,
      most: Math.round(500 / perUnitM),
      begin: Math.round(50 / perUnitM),
      common: COMMON[lengths],
    };
  const aboardM = state?.drawing?.side.aboardM ?? 100;
  const most = Math.floor(aboardM / perUnitM);
  const begin = Math.round((state?.rode.outM ?? state?.rode.requiredM ?? 30) / perUnitM);
  return {
    unit,
    step: 1,
    most,
    begin: Math.min(begin, most),
    common: COMMON[lengths].filter((at) => at <= most),
  };
}

function speedDial(state: BoatState | undefined, { speeds }: Speak): Dial {
  const kn = state?.wind.meanKn ?? 15;
  if (speeds === "m/s")
    return {
      unit: "m/s",
      step: 1,
      most: 40,
      begin: Math.round(kn * 0.514444),
      common: [5, 8, 10, 12, 15, 18, 20],
    };
  return { unit: "kn", step: 1, most: 70, begin: Math.round(kn), common: [10, 15, 20, 25, 30, 35, 40] };
}

function dial(field: ActField, { unit, step, most, begin, common }: Dial): Field {
  const root = make("div", "dial");
  const id = `field-${field.name}`;
  const name = make("label", "", field.label);
  name.setAttribute("for", id);
  const shown = make("output", "", "");
  const slider = document.createElement("input");
  Object.assign(slider, {
    type: "range",
    id,
    min: "0",
    max: String(most),
    step: String(step),
    value: String(begin),
  });
  const decimals = step < 1 ? 1 : 0;
  const set = (value: number): void => {
    slider.value = String(Math.min(most, Math.max(0, value)));
    tell();
  };
  const tell = (): void => {
    const words = `${Number(slider.value).toFixed(decimals)} ${unit}`;
    write(shown, words);
    slider.setAttribute("aria-valuetext", words);
  };
  slider.addEventListener("input", tell);
  const button = (text: string, words: string, press: () => void): HTMLElement => {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = text;
    made.setAttribute("aria-label", words);
    made.addEventListener("click", press);
    return made;
  };
  const line = make("div", "turn");
  line.append(
    button("−", acts.unit.less(unit), () => set(Number(slider.value) - step)),
    shown,
    button("+", acts.unit.more(unit), () => set(Number(slider.value) + step)),
  );
  const chips = make("div", "chips");
  for (const at of common) chips.append(button(String(at), `${at} ${unit}`, () => set(at)));
  root.append(name, line, slider, chips);
  tell();
  return { root, read: () => ({ [field.name]: `${slider.value} ${unit}` }) };
}

function plainField(field: ActField): Field {
  const root = make("div", "plain-field");
  const id = `field-${field.name}`;
  const name = make("label", "", field.label);
  name.setAttribute("for", id);
  const input = document.createElement("input");
  input.id = id;
  input.required = field.optional !== true;
  input.autocomplete = "off";
  if (field.kind === "bearing")
    Object.assign(input, { inputMode: "numeric", pattern: "[0-9]{1,3}", maxLength: 3 });
  else Object.assign(input, { maxLength: 20 });
  root.append(name, input);
  return {
    root,
    read: () => {
      const text = input.value.trim();
      if (text === "") return {};
      return { [field.name]: field.kind === "bearing" ? Number(text) : text };
    },
  };
}
