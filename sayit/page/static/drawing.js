// Elements and how they are drawn anew. Names and what was heard are always set as text, never as markup.

export const part = (id) => document.getElementById(id);
export const all = (selector) => document.querySelectorAll(selector);

export function made(tag, className, words) {
  const element = document.createElement(tag);
  if (className) element.className = className;
  if (words) element.textContent = words;
  return element;
}

export function text(id, words) {
  const place = part(id);
  if (place.textContent !== words) place.textContent = words;
}

// Only where the value changed, so that what the parent is about to change stays as it is.
const drawn = {};
export function redraw(id, value, build) {
  const key = JSON.stringify(value);
  if (drawn[id] === key) return;
  drawn[id] = key;
  part(id).replaceChildren(...build());
}

export function options(pairs) {
  return pairs.map(([value, words]) => {
    const option = made("option", "", words);
    option.value = value;
    return option;
  });
}

export function tickBox(value, checked, ...inside) {
  const label = made("label");
  const tick = made("input");
  Object.assign(tick, { type: "checkbox", value, checked });
  label.append(tick, ...inside);
  return label;
}

export const counted = (number, thing) => `${number} ${thing}${number === 1 ? "" : "s"}`;

export function listed(names) {
  return names.length > 1 ? `${names.slice(0, -1).join(", ")} and ${names.at(-1)}` : names[0];
}
