/** Day, dusk, night. A classic script, run before anything is painted: no white flash in a dark cabin. */
{
  const KEY = "rodeward-mode";
  const PAPER = { day: "#f4f1e8", dusk: "#232c36", night: "#000000" };
  type Mode = keyof typeof PAPER;
  const MODES: readonly string[] = ["day", "dusk", "night"];

  const isMode = (text: unknown): text is Mode => typeof text === "string" && MODES.includes(text);

  const remembered = (): Mode => {
    try {
      const text = localStorage.getItem(KEY);
      return isMode(text) ? text : "day";
    } catch {
      return "day"; // storage is forbidden: day, as on a fresh phone
    }
  };

  const apply = (mode: Mode): void => {
    for (const other of MODES) document.documentElement.classList.toggle(other, other === mode);
    document.querySelector('meta[name="theme-color"]')?.setAttribute("content", PAPER[mode]);
    try {
      localStorage.setItem(KEY, mode);
    } catch {
      // it holds until the page is left
    }
  };

  apply(remembered());
  document.addEventListener("rodeward-mode", (event) => {
    const mode: unknown = event instanceof CustomEvent ? event.detail : undefined;
    if (isMode(mode)) apply(mode);
  });
}
