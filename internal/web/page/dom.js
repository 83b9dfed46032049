// A few lines in place of a framework: h makes an element, Part keeps one
// region of the page in step with what it shows.

// h makes an element; properties whose names begin with "on" are listeners,
// those with a dash or "role" are attributes, and empty children are left out.
/**
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} tag @param {Record<string, any>} [properties] @param {...Child} children
 * @returns {HTMLElementTagNameMap[T]}
 */
export function h(tag, properties = {}, ...children) {
  const e = document.createElement(tag);
  for (const [name, value] of Object.entries(properties)) {
    if (value === undefined || value === null) continue;
    if (name.startsWith("on")) e.addEventListener(name.slice(2), value);
    else if (name.includes("-") || name === "role" || name === "for") e.setAttribute(name, value);
    else if (name === "class") e.className = value;
    else Object.assign(e, { [name]: value });
  }
  e.append(...content(children));
  return e;
}

// content is what is there among an element's children.
/** @param {Child} children @returns {(Node | string)[]} */
export function content(children) {
  if (Array.isArray(children)) return children.flatMap(content);
  if (children === null || children === undefined || typeof children === "boolean") return [];
  return [typeof children === "number" ? String(children) : children];
}

// onEnter listens to the keys of a field and does something on Enter.
/** @param {() => void} go */
export const onEnter = (go) => (/** @type {KeyboardEvent} */ e) => {
  if (e.key === "Enter") go();
};

// byId gives an element that the page is known to have.
/** @param {string} id */
export function byId(id) {
  const e = document.getElementById(id);
  if (!e) throw new Error(`the page has no element ${id}`);
  return e;
}

// focused is the key of the element that has the focus inside another.
/** @param {Element} inside */
function focused(inside) {
  const e = document.activeElement;
  return e instanceof HTMLElement && inside.contains(e) ? e.dataset.key : undefined;
}

// Part redraws a region only when what it shows has changed. It keeps the focus
// on the element with the same data-key, and open what was unfolded by hand:
// details with the same data-hold.
/** @template What */
export class Part {
  #snapshot = "";

  /** @param {HTMLElement} element @param {(what: What) => Child} draw */
  constructor(element, draw) {
    this.element = element;
    this.draw = draw;
  }

  /** @param {What} what */
  show(what) {
    const now = JSON.stringify(what);
    if (now === this.#snapshot) return;
    this.#snapshot = now;
    const key = focused(this.element), open = [];
    for (const d of this.element.querySelectorAll("details[data-hold][open]")) {
      open.push(d.getAttribute("data-hold") || "");
    }
    this.element.replaceChildren(...content(this.draw(what)));
    for (const hold of open) this.#find("details", "data-hold", hold)?.setAttribute("open", "");
    if (key) this.#find("", "data-key", key)?.focus({ preventScroll: true });
  }

  /** @param {string} tag @param {string} attribute @param {string} value @returns {HTMLElement | null} */
  #find(tag, attribute, value) {
    return this.element.querySelector(`${tag}[${attribute}="${CSS.escape(value)}"]`);
  }
}
