/** The review comes alive: the list of nights, or the one that the address names. */
import { standing } from "./ask.ts";
import { byId, show, write } from "./dom.ts";
import { asked } from "./nights-asked.ts";
import { showList } from "./nights-list.ts";
import { showNight } from "./nights-night.ts";
import { keepViewer, readViewer, speakOf } from "./viewer.ts";

/** Day or night by hand, kept for the watch page too. */
function followLight(changed: () => void): void {
  const isNight = () => document.documentElement.classList.contains("night");
  const name = () => write(byId("mode"), isNight() ? "Day" : "Night");
  byId("mode").addEventListener("click", () => {
    const mode = isNight() ? "day" : "night";
    keepViewer({ ...readViewer(), mode });
    document.dispatchEvent(new CustomEvent("rodeward-mode", { detail: mode }));
    name();
    changed();
  });
  name();
}

async function begin(): Promise<void> {
  const wished = new URL(location.href).searchParams.get("night");
  const id = wished === null ? undefined : Number(wished);
  // Asked at once, side by side: the units are waited for, nothing else is.
  const is = standing();
  const viewer = readViewer();
  const view =
    id === undefined
      ? showList(asked("/api/nights"), async () => speakOf(viewer, (await is)?.units))
      : showNight(
          id,
          async () => speakOf(viewer, (await is)?.units),
          async () => (await is)?.paired ?? false,
        );
  followLight(() => void view.then(({ redraw }) => redraw()));
  const { problem } = await view;
  if (problem !== undefined) write(byId("trouble"), problem);
  show(byId("trouble"), problem !== undefined);
}

void begin();
