// The child's screen: draws the state that it is sent, and lends the browser's microphone and loudspeaker.

import { openClap } from "/static/clap.js";
import { openDrawer } from "/static/drawer.js";
import { openLine } from "/static/line.js";
import { drawMark } from "/static/marks.js";
import { openPad } from "/static/pad.js";
import { drawWay, fitWay } from "/static/way.js";
import { drawing, lightAll, lightAsSaid, still } from "/static/quantity.js";
import { loudness, openSound } from "/static/sound.js";
import { openTray } from "/static/tray.js";

const SIGNS = {
  rest: "Resting",
  speaks: "I speak",
  turn: "Your turn: I listen",
  hands: "Your turn: touch the digits",
  heard: "I heard you",
  again: "Say it again",
  adult: "The grown-up comes",
  bye: "Good-bye",
};
const WORDS = {
  start: ["Touch to begin", ""],
  second: ["Use this screen instead", "The child's screen is open in another tab or window, and goes on there."],
  denied: ["Try again", "The browser may not use the microphone. Allow it beside the address, then touch here."],
};

const part = (id) => document.getElementById(id);
const { body } = document;
let state = null;
let drawn = {};
let opened = false;

const sound = openSound({ frame, lost });
const tells = {
  touched: () => line.tell({ kind: "touched" }),
  placed: (digits) => line.tell({ kind: "placed", digits }),
};
const pad = openPad({ row: part("row"), pad: part("pad"), ...tells });
const tray = openTray({ tray: part("tray"), ...tells });
openClap({ clap: part("clap"), ...tells });
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
  if (message.play) play(message.play, message.lights);
  if (message.lights && !message.play) lightAsSaid(part("stage"), message.lights, stopwatch());
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
    const half = 8 + 30 * share * value;
    return `M${340 + 26 * index} ${(98 - half).toFixed(1)}v${(2 * half).toFixed(1)}`;
  }).join(""));
}

function stopwatch() {
  const began = performance.now();
  return () => (performance.now() - began) / 1000;
}

async function play(number, lights) {
  sound.resume();
  const light = (clock) => lightAsSaid(part("stage"), lights, clock);
  try {
    if (await sound.play(`/sound/${number}.wav`, light)) line.tell({ kind: "said", number });
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
  showSign(state.phase === "finished" ? "bye" : hands ? "hands" : state.sign);
  drawWay(part("way"), state);
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
  const { show, reveal } = state;
  const clapping = state.clapped && state.sign === "turn";
  // While the voice can be heard, what is named lights up as it is named.
  if (!state.aloud || hands || state.sign === "turn") lightAll(part("stage"));
  drawGrown(state.grown);
  const key = JSON.stringify([show, reveal, state.way, state.number, hands, state.phase, state.handing, clapping]);
  if (key === drawn.key) return;
  drawn.key = key;
  const seen = { whose: false, clap: false, choices: false, grow: false, tray: false, places: false, digits: false, things: false, reveal: false };
  if (state.handing) seen.whose = true;
  else if (reveal) seen.reveal = true;
  else if (clapping) seen.clap = true;
  else if (state.way === "choice" && show) seen.choices = true;
  else if (state.grown) seen.grow = true;
  else if (show && show.kind === "tray") seen.tray = true;
  else if (state.way === "digits") seen.places = true;
  else if (show && show.kind === "digits") seen.digits = true;
  else if (show && show.kind === "quantity") seen.things = true;
  for (const [name, wanted] of Object.entries(seen)) part(name).hidden = !wanted;

  if (seen.digits) showDigits(show.numbers.join("  "));
  if (seen.things) glimpse(show);
  if (seen.choices) choices(show, hands);
  if (seen.grow) given(show);
  if (seen.tray) tray.show(state.number, show.frame, hands);
  if (seen.places) pad.show(state.number, hands);
  if (seen.reveal) revealed(reveal);
  body.dataset.stage = Object.keys(seen).find((name) => seen[name]) || "empty";
}

// The quantity to name, where one is shown.
function given(show) {
  const place = part("given");
  place.hidden = !show;
  place.replaceChildren(...(show ? show.pictures.map(drawing) : []));
  lightAll(place);
}

// What was heard so far; it stays until something else is heard.
function drawGrown(grown) {
  if (!grown || drawn.grown === grown.picture) return;
  drawn.grown = grown.picture;
  part("grown").replaceChildren(...(grown.picture ? [drawing(grown.picture)] : []));
  lightAll(part("grown"));
}

function showDigits(text) {
  const place = part("digits");
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

// The child's own number small, the one that was asked for beside it: it lights up as it is said.
function revealed({ own, asked }) {
  for (const [name, number] of Object.entries({ own, asked })) {
    const place = part(name);
    place.hidden = !number;
    if (!number) continue;
    place.classList.toggle("big", !number.picture);
    place.replaceChildren(...(number.picture ? [drawing(number.picture)] : grouped(number.digits)));
  }
  part("reveal").classList.toggle("wide", asked.digits.length > 2 || (own?.digits.length ?? 0) > 2);
  lightAll(part("own"));
  if (!state.aloud || still.matches) lightAll(part("asked"));
}

const CUE_MS = 1000;

function glimpse(show) {
  const things = part("things");
  const key = `${state.number}`;
  if (drawn.things !== key) {
    drawn.things = key;
    drawn.cue = performance.now();
    things.replaceChildren(...show.pictures.map(drawing));
    lightAll(things);
    things.classList.add("unshown", "cue");
  }
  if (show.seconds === null) {
    things.classList.remove("unshown");
  } else if (show.glimpse && drawn.glimpse !== show.glimpse) {
    // Once for each time it is asked, from the end of the question on.
    drawn.glimpse = show.glimpse;
    // The frame tells where to look for a second at least.
    setTimeout(() => {
      things.classList.remove("unshown", "cue");
      setTimeout(() => things.classList.add("unshown"), show.seconds * 1000);
    }, Math.max(0, CUE_MS - (performance.now() - drawn.cue)));
  }
}

function choices(show, hands) {
  const place = part("choices");
  if (drawn.choices !== state.number) {
    drawn.choices = state.number;
    place.replaceChildren(...show.numbers.map((number, index) => {
      const button = document.createElement("button");
      button.type = "button";
      button.append(...(show.pictures.length ? [drawing(show.pictures[index])] : grouped(number)));
      button.setAttribute("aria-label", number);
      button.addEventListener("click", () => line.tell({ kind: "placed", digits: number }));
      return button;
    }));
  }
  if (hands || still.matches) lightAll(place);
  for (const button of place.children) button.disabled = !hands;
}

part("full").addEventListener("click", () => {
  if (document.fullscreenElement) document.exitFullscreen();
  else document.documentElement.requestFullscreen?.();
});

addEventListener("resize", () => fitWay(part("way")));

openDrawer();

addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.repeat || !state || !part("drawer").hidden) return;
  if (!part("places").hidden) pad.press(event);
});
