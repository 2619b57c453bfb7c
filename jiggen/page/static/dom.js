// Makes elements. Words go in as text, never as markup.
const SVG = "http://www.w3.org/2000/svg";

export const $ = (id) => document.getElementById(id);

function dress(element, attributes, inside) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === true) element.setAttribute(name, "");
    else if (value !== false && value != null) element.setAttribute(name, value);
  }
  element.append(...inside.filter((each) => each != null));
  return element;
}

export const make = (tag, attributes = {}, ...inside) => dress(document.createElement(tag), attributes, inside);
export const draw = (tag, attributes = {}, ...inside) => dress(document.createElementNS(SVG, tag), attributes, inside);

/** Sets words only where they differ, so that screen readers are told of changes alone. */
export function say(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

/** Fills a list to choose from, keeps what was chosen. */
export function choose(select, options) {
  const was = select.value;
  select.replaceChildren(...options.map(([value, label, off]) => make("option", { value, disabled: off || false }, label)));
  select.value = options.some(([value]) => value === was) ? was : (options[0]?.[0] ?? "");
}

/** Hands a file to the browser. */
export function hand(name, data, type) {
  const address = URL.createObjectURL(new Blob([data], { type }));
  make("a", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}
