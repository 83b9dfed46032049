// The board's colours, as the page's style sheet has them.

// larger is by how much words and lines grow on a large screen.
/** @param {Element} element */
export const larger = (element) =>
  Math.max(1, parseFloat(getComputedStyle(element.ownerDocument.documentElement).fontSize) / 18);

/** @param {Element} element @returns {Inks} */
export function inksOf(element) {
  const of = getComputedStyle(element);
  /** @param {string} name */
  const ink = (name) => of.getPropertyValue("--board-" + name).trim() || "#888";
  return {
    paper: ink("paper"), laminate: ink("laminate"), edge: ink("edge"), copper: ink("copper"),
    net: [ink("red-net"), ink("black-net")], netBehind: [ink("red-net-behind"), ink("black-net-behind")],
    hole: ink("hole"), bare: ink("bare"), part: ink("part"), ref: ink("ref"), heat: ink("heat"),
  };
}
