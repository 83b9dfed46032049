// A few lines in place of a framework: h makes an element, Part keeps one
// region of the page in step with what it shows.

// h makes an element; properties whose names begin with "on" are listeners,
// those with a dash or "role" are attributes, and empty children are left out.
export function h(tag, properties = {}, ...children) {
  const e = document.createElement(tag);
  for (const [name, value] of Object.entries(properties)) {
    if (value === undefined || value === null) continue;
    if (name.startsWith("on")) e.addEventListener(name.slice(2), value);
    else if (name.includes("-") || name === "role" || name === "for") e.setAttribute(name, value);
    else if (name === "class") e.className = value;
    else e[name] = value;
  }
  e.append(...children.flat(Infinity).filter((c) => c !== null && c !== undefined && c !== false));
  return e;
}

// Part redraws a region only when what it shows has changed. It keeps the focus
// on the element with the same data-key, and open what was unfolded by hand:
// details with the same data-hold.
export class Part {
  #shown = "";

  constructor(element, draw) {
    this.element = element;
    this.draw = draw;
  }

  show(what) {
    const now = JSON.stringify(what);
    if (now === this.#shown) return;
    this.#shown = now;
    const key = this.element.contains(document.activeElement) ? document.activeElement.dataset.key : undefined;
    const open = [...this.element.querySelectorAll("details[data-hold][open]")].map((d) => d.dataset.hold);
    const drawn = this.draw(what);
    this.element.replaceChildren(...[drawn].flat(Infinity).filter(Boolean));
    for (const hold of open) this.element.querySelector(`details[data-hold="${CSS.escape(hold)}"]`)?.setAttribute("open", "");
    if (key) this.element.querySelector(`[data-key="${CSS.escape(key)}"]`)?.focus({ preventScroll: true });
  }
}
