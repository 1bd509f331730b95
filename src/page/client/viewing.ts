/** The choices of this viewer, and the light: by hand, or by the sun where the boat is. */
import type { BoatState } from "../boat-state.ts";
import { byId, write } from "./dom.ts";
import { modeBySun, sunAltitudeDeg } from "./sun.ts";
import { keepViewer, readViewer, type Viewer } from "./viewer.ts";

type Light = "day" | "dusk" | "night";

export function createViewing(changed: () => void) {
  let viewer = readViewer();
  let light: Light = viewer.mode === "sun" ? lightNow() : viewer.mode;

  function lightNow(): Light {
    const { classList } = document.documentElement;
    if (classList.contains("night")) return "night";
    return classList.contains("dusk") ? "dusk" : "day";
  }

  function setLight(next: Light): void {
    light = next;
    if (lightNow() !== next) document.dispatchEvent(new CustomEvent("rodeward-mode", { detail: next }));
    write(byId("mode"), next === "night" ? "Day" : "Night");
  }

  function choose(part: Partial<Viewer>): void {
    viewer = { ...viewer, ...part };
    keepViewer(viewer);
    if (viewer.mode !== "sun") setLight(viewer.mode);
    fill();
    changed();
  }

  const select = (id: string) => byId(id) as HTMLSelectElement;
  const choices: readonly [string, () => string, (value: string) => Partial<Viewer>][] = [
    [
      "lengths",
      () => viewer.lengths ?? "",
      (value) => ({ lengths: (value || undefined) as Viewer["lengths"] }),
    ],
    ["speeds", () => viewer.speeds, (value) => ({ speeds: value as Viewer["speeds"] })],
    ["light", () => viewer.mode, (value) => ({ mode: value as Viewer["mode"] })],
    ["turn", () => viewer.turn, (value) => ({ turn: value as Viewer["turn"] })],
    ["grid", () => (viewer.grid ? "yes" : "no"), (value) => ({ grid: value === "yes" })],
    ["speech", () => (viewer.speech ? "yes" : "no"), (value) => ({ speech: value === "yes" })],
  ];

  function fill(): void {
    for (const [id, now] of choices) select(id).value = now();
  }

  for (const [id, , part] of choices)
    select(id).addEventListener("change", () => choose(part(select(id).value)));
  byId("mode").addEventListener("click", () => choose({ mode: light === "night" ? "day" : "night" }));
  fill();
  setLight(light);

  return {
    viewer: () => viewer,
    /** By the sun: where the boat is, at the boat's time. */
    picture({ at, position }: BoatState): void {
      if (viewer.mode !== "sun" || position.lat === null || position.lon === null) return;
      setLight(modeBySun(sunAltitudeDeg(Date.parse(at), position.lat, position.lon)));
    },
  };
}
