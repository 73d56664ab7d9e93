// The number picture: drawn by sayit, lit up here as its words are spoken.

const reader = new DOMParser();
export const still = matchMedia("(prefers-reduced-motion: reduce)");
let timers = [];

// The things themselves, to which every picture refers.
fetch("/things.svg").then((answer) => answer.text()).then((text) => {
  const things = drawing(text);
  things.classList.add("unseen");
  things.setAttribute("aria-hidden", "true");
  document.body.append(things);
});

export function drawing(text) {
  return document.importNode(reader.parseFromString(text, "image/svg+xml").documentElement, true);
}

const parts = (root) => [...root.querySelectorAll(".part")];

export function lightAll(root) {
  for (const part of parts(root)) part.classList.add("lit");
}

// Lights the parts of all numbers in sight under `root` by [number, place, start, end] in seconds of `clock()`;
// what is not spoken of lights at once.
export function lightAsSaid(root, lights, clock) {
  timers.forEach(clearTimeout);
  timers = [];
  for (const picture of root.querySelectorAll(".quantity")) {
    const own = lights.filter(([number]) => number === picture.dataset.number);
    if (!own.length || still.matches) {
      lightAll(picture);
      continue;
    }
    for (const [, place, start, end] of own) {
      const part = picture.querySelector(`[data-place="${place}"]`);
      const at = (seconds, act) => timers.push(setTimeout(act, (seconds - clock()) * 1000));
      at(start, () => {
        part.classList.add("lit", "now");
        // What a test compares with the voice.
        part.dataset.lit ??= clock().toFixed(3);
      });
      at(Math.max(end, start + 0.3), () => part.classList.remove("now"));
    }
  }
}
