/** Elements of the page, made without markup in text: the server's policy allows no script but this file. */

export function el(tag: string, look: string, text?: string): HTMLElement {
  const made = document.createElement(tag);
  if (look !== "") made.className = look;
  if (text !== undefined) made.textContent = text;
  return made;
}

export function button(text: string, look: string, press: () => void): HTMLElement {
  const made = el("button", look, text);
  made.setAttribute("type", "button");
  made.addEventListener("click", press);
  return made;
}

export function clear(from: HTMLElement): void {
  while (from.firstChild !== null) from.removeChild(from.firstChild);
}

/** Over the whole glass, above everything else of the page. */
export function cover(look: string): HTMLElement {
  const made = el("div", `cover ${look}`);
  document.body.appendChild(made);
  return made;
}

export function uncover(made: HTMLElement): void {
  if (made.parentNode !== null) made.parentNode.removeChild(made);
}
