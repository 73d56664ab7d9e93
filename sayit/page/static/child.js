// The child's screen: draws the state that it is sent, and lends the browser's microphone and loudspeaker.

import { openLine } from "/static/line.js";
import { drawMark } from "/static/marks.js";
import { loudness, openSound } from "/static/sound.js";

const SIGNS = {
  rest: "Resting",
  speaks: "I speak",
  turn: "Your turn: I listen",
  hands: "Your turn: touch the digits",
  heard: "I heard you",
  again: "Say it again",
  adult: "The grown-up comes",
};
const WORDS = {
  start: ["Touch to begin", ""],
  second: ["Use this screen instead", "The child's screen is open in another tab or window, and goes on there."],
  denied: ["Try again", "The browser may not use the microphone. Allow it beside the address, then touch here."],
};
const SHORT = "http://www.w3.org/2000/svg";

const part = (id) => document.getElementById(id);
const { body } = document;
let state = null;
let drawn = {};
let digits = "";
let opened = false;

const sound = openSound({ frame, lost });
const line = openLine("/screen-line", take, connected);

function take(message) {
  if (message.second) gate("second");
  if (message.state) {
    if (body.dataset.gate === "second") gate(opened ? "open" : "start");
    state = message.state;
    draw();
    if (!opened && !drawn.tried) {
      drawn.tried = true;
      openAgain();
    }
  }
  if (message.play) play(message.play);
  if (message.hush) sound.hush();
  if (message.level !== undefined) level(message.level);
}

function connected(yes) {
  part("line").hidden = yes;
  if (yes && opened) sound.hears || !usesBrowser() ? tellReady() : line.tell({ kind: "microphone", state: "denied" });
}

function gate(name) {
  body.dataset.gate = name;
  if (name === "open") return;
  const [words, note] = WORDS[name];
  part("gate-words").textContent = words;
  part("gate-note").textContent = note;
}

// After a reload the browser often still allows sound: then nobody has to touch anything.
async function openAgain() {
  try {
    const allowed = await navigator.permissions.query({ name: "microphone" });
    if (allowed.state === "granted" || !usesBrowser()) open({ quiet: true });
  } catch {
    // This browser does not tell: a touch will.
  }
}

async function open({ quiet = false } = {}) {
  if (drawn.opening) {
    // A touch while the page still tries by itself must not be lost.
    drawn.touched = drawn.touched || !quiet;
    return;
  }
  drawn.opening = true;
  try {
    await sound.open(usesBrowser(), quiet ? 400 : 3000);
    opened = true;
    gate("open");
    tellReady();
    sound.listening(Boolean(state && state.listening));
  } catch (error) {
    if (quiet) return;
    // Without a microphone the screen still speaks and shows, and the parent judges.
    opened = sound.speaks;
    gate(opened ? "open" : "denied");
    line.tell({ kind: "microphone", state: "denied" });
  } finally {
    drawn.opening = false;
    const touched = drawn.touched;
    drawn.touched = false;
    if (touched && !opened) open();
  }
}

function usesBrowser() {
  return !state || state.sound === "browser";
}

function tellReady() {
  line.tell({ kind: "microphone", state: "ready", rate: sound.rate });
}

function lost() {
  line.tell({ kind: "microphone", state: "lost" });
}

navigator.mediaDevices?.addEventListener("devicechange", async () => {
  if (!opened || !usesBrowser()) return;
  try {
    await sound.again();
    sound.listening(Boolean(state && state.listening));
    tellReady();
  } catch {
    lost();
  }
});

function frame(buffer) {
  if (!state || !state.listening) return;
  line.frames(buffer);
  if (state.sign === "turn") level(loudness(buffer));
}

const BARS = [0.45, 0.75, 1, 0.75, 0.45];

function level(value) {
  part("bars").setAttribute("d", BARS.map((share, index) => {
    const half = 34 * share * value;
    return `M${340 + 26 * index} ${(98 - half).toFixed(1)}v${(2 * half).toFixed(1)}`;
  }).join(""));
}

async function play(number) {
  sound.resume();
  try {
    if (await sound.play(`/sound/${number}.wav`)) line.tell({ kind: "said", number });
  } catch {
    // Nothing was heard, so nothing is told: sayit tells the parent after a while.
  }
}

part("touch").addEventListener("click", () => {
  if (body.dataset.gate === "second") line.tell({ kind: "take" });
  open();
});

function draw() {
  const hands = state.way !== "spoken" && state.sign === "turn";
  showSign(hands ? "hands" : state.sign);
  if (part("caption").textContent !== state.caption) part("caption").textContent = state.caption;
  sound.listening(state.listening);
  drawSeats();
  drawStage(hands);
}

// Whose turn it is, told by the child's own picture: the others stand small beside it.
function drawSeats() {
  const { seats } = state;
  const key = JSON.stringify(seats);
  if (drawn.seats === key) return;
  drawn.seats = key;
  part("seats").hidden = !seats.length;
  part("seats").replaceChildren(...seats.map(({ mark, now }) => {
    const svg = drawMark(mark);
    svg.classList.toggle("now", now);
    return svg;
  }));
  const now = seats.find((seat) => seat.now);
  if (!now) return;
  part("seats").setAttribute("aria-label", `${now.child}'s turn`);
  part("whose").replaceChildren(drawMark(now.mark));
}

// "I heard you" stays long enough to be seen, however quick the recogniser is.
const SEEN_MS = 800;

function showSign(sign) {
  clearTimeout(drawn.later);
  const now = performance.now();
  if (body.dataset.sign === "heard" && sign !== "heard" && sign !== "turn" && now - drawn.heard < SEEN_MS) {
    drawn.later = setTimeout(() => showSign(sign), SEEN_MS - (now - drawn.heard));
    return;
  }
  if (body.dataset.sign === sign) return;
  if (sign === "heard") drawn.heard = now;
  body.dataset.sign = sign;
  part("sign").setAttribute("aria-label", SIGNS[sign]);
  level(0);
}

function drawStage(hands) {
  const { show } = state;
  const key = JSON.stringify([show, state.reveal, state.way, state.number, hands, state.phase, state.handing]);
  if (key === drawn.key) return;
  drawn.key = key;
  const seen = { digits: "", things: false, choices: false, places: false, whose: false };
  if (state.handing) seen.whose = true;
  else if (state.way === "choice" && show) seen.choices = true;
  else if (state.way === "digits") seen.places = true;
  else if (show && show.kind === "digits") seen.digits = show.numbers.join("  ");
  else if (show && show.kind === "dots") seen.things = true;
  else if (state.reveal) seen.digits = state.reveal;

  showDigits(seen.digits, seen.digits !== "" && !show);
  part("whose").hidden = !seen.whose;
  part("things").toggleAttribute("hidden", !seen.things);
  if (seen.things) glimpse(show);
  part("choices").hidden = !seen.choices;
  if (seen.choices) choices(show.numbers, hands);
  part("places").hidden = !seen.places;
  if (seen.places) places(hands);
  body.dataset.stage = Object.keys(seen).find((name) => seen[name]) || "empty";
}

function showDigits(text, told) {
  const place = part("digits");
  place.hidden = !text;
  place.classList.toggle("told", told);
  place.dataset.length = text.length;
  place.replaceChildren(...grouped(text));
}

// Thousands stand apart by space, as in print.
function grouped(text) {
  if (!/^\d{4,}$/.test(text)) return [text];
  const space = document.createElement("span");
  space.className = "space";
  return [text.slice(0, -3), space, text.slice(-3)];
}

function glimpse(show) {
  const things = part("things");
  const key = `${state.number}`;
  if (drawn.things !== key) {
    drawn.things = key;
    const width = Math.max(...show.dots.map(([x]) => x)) + 1;
    const height = Math.max(...show.dots.map(([, y]) => y)) + 1;
    things.setAttribute("viewBox", `-0.6 -0.6 ${width + 0.2} ${height + 0.2}`);
    things.replaceChildren(...show.dots.map(([x, y]) => {
      const thing = document.createElementNS(SHORT, "circle");
      thing.setAttribute("cx", x);
      thing.setAttribute("cy", y);
      thing.setAttribute("r", 0.4);
      return thing;
    }));
    things.classList.add("unshown");
  }
  if (show.seconds === null) {
    things.classList.remove("unshown");
  } else if (show.glimpse && drawn.glimpse !== show.glimpse) {
    // Once for each time it is asked, from the end of the question on.
    drawn.glimpse = show.glimpse;
    things.classList.remove("unshown");
    setTimeout(() => things.classList.add("unshown"), show.seconds * 1000);
  }
}

function choices(numbers, hands) {
  part("choices").replaceChildren(...numbers.map((number) => {
    const button = document.createElement("button");
    button.type = "button";
    button.append(...grouped(number));
    button.setAttribute("aria-label", number);
    button.disabled = !hands;
    button.addEventListener("click", () => line.tell({ kind: "placed", digits: number }));
    return button;
  }));
}

function places(hands) {
  if (drawn.places !== state.number) {
    drawn.places = state.number;
    digits = "";
  }
  drawn.hands = hands;
  if (!part("pad").childElementCount) buildPad();
  drawRow();
}

const MOST = 7;

function buildPad() {
  const keys = [..."1234567890"].map((digit) => key(digit, `Digit ${digit}`, () => put(digit)));
  const back = key("", "Take the last digit away", takeBack, "M30 12H16L4 24l12 12h28V12H30M22 18l12 12m0-12L22 30");
  back.classList.add("take-back");
  const done = key("", "That is my number", finish, "M8 26l11 11 21-26");
  done.classList.add("done");
  part("pad").replaceChildren(...keys, back, done);
}

function key(text, name, act, drawing) {
  const button = document.createElement("button");
  button.type = "button";
  button.setAttribute("aria-label", name);
  button.addEventListener("click", act);
  if (drawing) {
    const svg = document.createElementNS(SHORT, "svg");
    svg.setAttribute("viewBox", "0 0 48 48");
    svg.setAttribute("aria-hidden", "true");
    const path = document.createElementNS(SHORT, "path");
    path.setAttribute("d", drawing);
    svg.append(path);
    button.append(svg);
  } else {
    button.textContent = text;
  }
  return button;
}

function put(digit) {
  if (!drawn.hands || digits.length >= MOST) return;
  if (!digits) line.tell({ kind: "touched" });
  digits += digit;
  drawRow();
}

function takeBack() {
  digits = digits.slice(0, -1);
  drawRow();
}

function finish() {
  if (drawn.hands && digits) line.tell({ kind: "placed", digits });
}

function drawRow() {
  const row = part("row");
  const signs = [...digits].map((digit, index) => {
    const place = document.createElement("span");
    place.textContent = digit;
    // With four digits and more, the thousands stand apart.
    if (digits.length >= 4 && digits.length - index === 4) place.className = "thousand";
    return place;
  });
  if (digits.length < MOST && drawn.hands) {
    const next = document.createElement("span");
    next.className = "next";
    next.textContent = "\u00a0";
    signs.push(next);
  }
  row.replaceChildren(...signs);
  row.setAttribute("aria-label", `Digits put down: ${[...digits].join(" ") || "none"}`);
  for (const button of part("pad").querySelectorAll("button")) {
    const needsDigits = button.matches(".take-back, .done");
    button.disabled = !drawn.hands || (needsDigits && !digits);
  }
}

const CHOICES = { r: "right", w: "wrong", a: "again", s: "skip", q: "stop", g: "go" };

addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.repeat || !state) return;
  const placing = !part("places").hidden;
  if (placing && /^\d$/.test(event.key)) put(event.key);
  else if (placing && event.key === "Backspace") takeBack();
  else if (placing && event.key === "Enter" && event.target === body) finish();
  else if (state.keys && CHOICES[event.key]) line.tell({ kind: "choice", choice: CHOICES[event.key] });
});
