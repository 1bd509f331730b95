/** Small hands on the document. Texts are written only when they change, so that a reader is not told twice. */

export function byId(id: string): HTMLElement {
  const element = document.getElementById(id);
  if (element === null) throw new Error(`the page has no #${id}`);
  return element;
}

export function write(element: Element, text: string): void {
  if (element.textContent !== text) element.textContent = text;
}

export function show(element: HTMLElement, isShown: boolean): void {
  if (element.hidden === isShown) element.hidden = !isShown;
}

export function make(tag: string, className: string, text = ""): HTMLElement {
  const element = document.createElement(tag);
  if (className !== "") element.className = className;
  element.textContent = text;
  return element;
}
