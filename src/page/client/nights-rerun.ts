/** The night again under other settings: a form, how far it is, and what would have come beside what did. */
import type { NightSeries, RerunSettings, RerunState } from "../night-state.ts";
import { post } from "./ask.ts";
import { byId, make, show, write } from "./dom.ts";
import { asked } from "./nights-asked.ts";
import { fill } from "./nights-list.ts";
import { headings, raisingWords, review } from "./nights-words.ts";
import { clock, metresPer, type Speak, unitName } from "./wording.ts";
import { mpsOf, speedNumber } from "./wording-speed.ts";

const LOOK_EVERY_MS = 500;

export async function offerRerun(
  { night, settings }: NightSeries,
  speak: Speak,
  paired: () => Promise<boolean>,
): Promise<void> {
  const tell = (text: string) => write(byId("rerun-answer"), text);
  if (settings === null || night.raw.lines === 0) {
    tell(review.noSentences);
    return;
  }
  if (!(await paired())) {
    tell(review.unpaired);
    return;
  }
  const form = createForm(settings, speak);
  show(byId("rerun-form"), true);
  let looking: ReturnType<typeof setTimeout> | undefined;

  const look = async (): Promise<void> => {
    clearTimeout(looking);
    const state = await asked<RerunState>("/api/rerun");
    if (typeof state === "string") tell(state);
    else take(state);
  };
  const take = (state: RerunState): void => {
    const isOurs = "id" in state && state.id === night.id;
    const isRunning = state.state === "running";
    show(byId("rerun-cancel"), isRunning);
    show(byId("rerun-progress"), isRunning);
    (byId("rerun-start") as HTMLButtonElement).disabled = isRunning;
    if (isRunning) {
      (byId("rerun-progress") as HTMLProgressElement).value = state.percent;
      tell(review.rerunning(state.percent));
      looking = setTimeout(() => void look(), LOOK_EVERY_MS);
    }
    if (!isOurs) return;
    if (state.state === "failed") tell(review.noRerun(state.why));
    if (state.state === "cancelled") tell(review.cancelled);
    if (state.state === "done") writePairs(state.pairs, tell);
  };

  byId("rerun-form").addEventListener("submit", (event) => {
    event.preventDefault();
    byId("rerun-table").replaceChildren();
    void post(`/api/nights/${night.id}/rerun`, form.settings()).then((answer) => {
      if (answer.kind === "ok") void look();
      else tell(answer.kind === "unpaired" ? review.unpaired : answer.words);
    });
  });
  byId("rerun-cancel").addEventListener("click", () => void post("/api/rerun/cancel").then(look));
  await look();
}

function writePairs(
  pairs: Extract<RerunState, { state: "done" }>["pairs"],
  tell: (text: string) => void,
): void {
  tell(pairs.length === 0 ? review.noAlerts : "");
  const rows = pairs.map(({ key, was, now }) => [
    clock((was ?? now)?.raisedMs ?? 0),
    raisingWords(key, was, null),
    raisingWords(key, now, was),
  ]);
  if (rows.length > 0) fill("rerun-table", headings.rerun, rows);
}

/** Fields in the viewer's units, filled with what the night had. */
function createForm(settings: RerunSettings, speak: Speak): { settings(): RerunSettings } {
  const perUnitM = metresPer(speak.lengths);
  const box = byId("rerun-fields");
  const field = (label: string, value: number, step: number) => {
    const id = `rerun-${box.children.length}`;
    const name = box.appendChild(make("label", "", label));
    name.setAttribute("for", id);
    const input = box.appendChild(make("input", "")) as HTMLInputElement;
    Object.assign(input, { id, type: "number", min: "0", step: "any", required: true, inputMode: "decimal" });
    input.value = String(Number((Math.round(value / step) * step).toFixed(3)));
    return () => Number(input.value);
  };
  const tenth = (value: number) => Math.round(value * 10) / 10;
  const wind = (mps: number) => tenth(speedNumber(mps, speak));
  box.replaceChildren();
  const margin = field(`Margin, ${unitName(speak.lengths)}`, tenth(settings.marginM / perUnitM), 0.1);
  const mean = field(`Wind limit, ${speak.speeds}`, wind(settings.windLimitMps), 0.1);
  const gust = field(`Gust limit, ${speak.speeds}`, wind(settings.gustLimitMps), 0.1);
  const steps = settings.steps.map((step) => ({
    windMps: step.windMps,
    ratio: field(`Scope from ${wind(step.windMps).toFixed(0)} ${speak.speeds}`, step.ratio, 0.1),
  }));
  return {
    settings: () => ({
      marginM: margin() * perUnitM,
      windLimitMps: mpsOf(mean(), speak),
      gustLimitMps: mpsOf(gust(), speak),
      steps: steps.map(({ windMps, ratio }) => ({ windMps, ratio: ratio() })),
    }),
  };
}
