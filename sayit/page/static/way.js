// The way of today: a twig that grows by a leaf with each answer, right or not.

const SHORT = "http://www.w3.org/2000/svg";
const STEP = 26;
const BUDS = 40;
const LEAF = "M0 0C4-12 16-16 24-14 22-4 12 4 0 0z";
const BUD = "M0 0C-9-8-7-20 0-26 7-20 9-8 0 0z";
const BLOOM = "M0 0C-12-3-18-16-13-28L-6-20 0-31 6-20 13-28C18-16 12-3 0 0z";

function drawn(d, kind, x, y, turn) {
  const path = document.createElementNS(SHORT, "path");
  path.setAttribute("d", d);
  path.setAttribute("class", kind);
  path.setAttribute("transform", `translate(${x} ${y}) ${turn}`);
  return path;
}

// A long twig keeps its size and begins out of sight; at the good-bye all of it is seen.
export function fitWay(svg) {
  const { width, height } = svg.viewBox.baseVal;
  const long = width * svg.clientHeight > height * svg.clientWidth;
  svg.setAttribute("preserveAspectRatio", svg.classList.contains("whole") ? "xMidYMax meet" : long ? "xMaxYMax slice" : "xMinYMax meet");
}

// `left` buds stand ahead once the end is near; at the good-bye they are open.
export function drawWay(svg, { done, left, phase }) {
  const key = JSON.stringify([done, left, phase]);
  if (svg.dataset.key === key) return;
  svg.dataset.key = key;
  const over = phase === "finished";
  const ahead = over ? 3 : left ?? 0;
  const length = 20 + STEP * done + (ahead ? BUDS * ahead + 10 : 0);
  const wave = (x) => 40 + 3 * Math.sin(x / 40);
  const points = [];
  for (let x = 4; x <= length; x += 8) points.push(`${x} ${wave(x).toFixed(1)}`);
  const leaves = Array.from({ length: done }, (_, index) => {
    const x = 16 + STEP * index;
    return drawn(LEAF, "leaf", x, wave(x).toFixed(1), index % 2 ? "scale(1 -1)" : "");
  });
  const buds = Array.from({ length: ahead }, (_, index) => {
    const x = 36 + STEP * done + BUDS * index;
    return drawn(over ? BLOOM : BUD, over ? "bloom" : "bud", x, wave(x).toFixed(1), "scale(1.25)");
  });
  svg.setAttribute("viewBox", `0 0 ${Math.max(length + 12, 260)} 64`);
  svg.replaceChildren(drawn(`M${points.join("L")}`, "twig", 0, 0, ""), ...leaves, ...buds);
  svg.setAttribute("aria-label", ahead && !over ? "The way of today: the end is near" : "The way of today");
  svg.toggleAttribute("hidden", phase === "idle" || !(done || ahead));
  svg.classList.toggle("whole", over);
  fitWay(svg);
}
