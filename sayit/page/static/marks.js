// The children's own pictures; see marks.py.

const DRAWINGS = {
  leaf: "M50 96V40M50 82C12 76 8 40 50 6c42 34 38 70 0 76zM50 66l16-15M50 54L36 41",
  moon: "M62 8a43 43 0 1 0 31 57A37 37 0 0 1 62 8z",
  boat: "M8 64h84L76 90H24zM44 64V8l36 44H44",
  drop: "M50 6c19 28 32 43 32 58a32 30 0 0 1-64 0C18 49 31 34 50 6z",
  kite: "M50 4l30 34-30 38-30-38zM20 38h60M50 4v72M50 76q-13 6-2 11t-5 9",
  cloud: "M27 80a21 21 0 0 1-2-42 27 27 0 0 1 51-3 23 23 0 0 1 0 45z",
  cup: "M16 32h54v32a25 25 0 0 1-25 25h-4a25 25 0 0 1-25-25zM70 41h7a14 14 0 0 1 0 28h-8M34 22q-7-8 0-16M52 22q-7-8 0-16",
  shell: "M56 52a8 8 0 0 0-16 0 16 16 0 0 0 32 0 24 24 0 0 0-48 0 32 32 0 0 0 64 0 40 40 0 0 0-80 0q0 26 20 38",
};

export function drawMark(name) {
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.setAttribute("viewBox", "0 0 100 100");
  svg.setAttribute("aria-hidden", "true");
  svg.classList.add("mark");
  svg.dataset.mark = name;
  const path = document.createElementNS("http://www.w3.org/2000/svg", "path");
  path.setAttribute("d", DRAWINGS[name]);
  svg.append(path);
  return svg;
}
