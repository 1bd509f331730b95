/** Day and night. A classic script, run before anything is painted: no white flash in a dark cabin. */
{
  const KEY = "rodeward-mode";
  const PAPER = { day: "#f4f1e8", night: "#000000" };
  type Mode = keyof typeof PAPER;

  const remembered = (): Mode => {
    try {
      return localStorage.getItem(KEY) === "night" ? "night" : "day";
    } catch {
      return "day"; // storage is forbidden: day, as on a fresh phone
    }
  };

  const remember = (mode: Mode): void => {
    try {
      localStorage.setItem(KEY, mode);
    } catch {
      // it holds until the page is left
    }
  };

  let mode = remembered();

  const apply = (): void => {
    document.documentElement.classList.toggle("night", mode === "night");
    document.querySelector('meta[name="theme-color"]')?.setAttribute("content", PAPER[mode]);
    const button = document.getElementById("mode");
    if (button !== null) button.textContent = mode === "night" ? "Day" : "Night";
  };

  apply();
  document.addEventListener("DOMContentLoaded", () => {
    apply();
    document.getElementById("mode")?.addEventListener("click", () => {
      mode = mode === "night" ? "day" : "night";
      remember(mode);
      apply();
    });
  });
}
