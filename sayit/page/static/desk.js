// The parent's desk: draws the state that it is sent, and sends what the parent decides, in three rooms.

import { drawChildRoom, openChildRoom, tellChildRoom } from "/static/child-room.js";
import { all, listed, made, options, part, redraw, text, tickBox } from "/static/drawing.js";
import { openDeskSound } from "/static/desk-sound.js";
import { openLine } from "/static/line.js";
import { drawMark } from "/static/marks.js";
import { drawOwnRun, openOwnRun, takeSlots } from "/static/own-run.js";
import { openRestore } from "/static/restore.js";
import { drawToday, openToday } from "/static/today.js";

const PARTS = { screen: "Child's screen", microphone: "Microphone", recogniser: "Recogniser", voice: "Voice" };
const CHOICES = { r: "right", w: "wrong", a: "again", s: "skip", q: "stop", g: "go" };
const ROOMS = ["today", "child-room", "set-up"];

let state = null;
let quiet = 0;
let played = "";

const line = openLine("/desk-line", take, (yes) => {
  part("line").hidden = yes;
  if (yes) line.tell({ kind: "slots" });
});
const here = openDeskSound(line);
let tried = false;
openToday(line);
openChildRoom(line);
openOwnRun(line, (message) => here.ask(state, message, true));
openRestore();

function enter() {
  const room = ROOMS.includes(location.hash.slice(1)) ? location.hash.slice(1) : "today";
  for (const name of ROOMS) part(name).hidden = name !== room;
  for (const link of all("nav a")) {
    if (link.hash === `#${room}`) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
  scrollTo(0, 0);
}
addEventListener("hashchange", enter);
enter();

function take(message) {
  if (message.level !== undefined) {
    meters(message.level);
    clearTimeout(quiet);
    quiet = setTimeout(() => meters(0), 400);
  }
  if (message.play) here.play(message.play);
  if (message.slots) takeSlots(message.slots);
  if (message.refused !== undefined) {
    part("refused").textContent = message.refused;
    part("refused").hidden = !message.refused;
    tellChildRoom(message.refused || message.told);
    if (message.refused && !tried) here.deaf();
  }
  if (message.state) {
    state = message.state;
    draw();
  }
}

function meters(level) {
  for (const meter of all(".meter")) meter.style.setProperty("--level", level);
}

function draw() {
  const running = state.phase === "running";
  const names = together();
  const closed = state.settings.sound === "browser" && state.parts.screen.ok === false;
  part("start").disabled = running || state.test.state === "listening";
  part("start").classList.toggle("main", !closed && !state.place);
  text("start", names.length ? `Start with ${listed(names)}` : "Start");
  part("here").hidden = !closed || !names.length;
  part("here").classList.toggle("main", closed);
  part("find").disabled = part("start").disabled || !names.length;
  text("find", names.length ? `Find ${names[0]}'s place` : "Find the place");
  document.body.classList.toggle("no-keys", !state.settings.keys);
  notices();
  drawToday(state);
  drawChildRoom(state);
  parts();
  settings();
  test();
}

// Who the next sitting is with: the child chosen first.
function together() {
  const { children, settings: { child, turns } } = state;
  const first = child || children[0];
  return first ? [first, ...turns.filter((name) => name !== first && children.includes(name))] : [];
}

function notices() {
  redraw("notices", state.notices, () => state.notices.map((notice) => {
    const item = made("li");
    const away = made("button", "", "Got it");
    away.type = "button";
    away.setAttribute("aria-label", `Got it: ${notice.text}`);
    away.addEventListener("click", () => line.tell({ kind: "forget", notice: notice.kind }));
    item.append(made("span", "", notice.text), away);
    return item;
  }));
}

function parts() {
  const bad = Object.entries(state.parts).filter(([name, found]) => found.ok === false && name !== "screen" && !(name === "microphone" && state.parts.screen.ok === false));
  redraw("trouble", bad, () => bad.map(([name, found]) => made("li", "", `${PARTS[name]}: ${found.text}`)));
  redraw("parts", state.parts, () => Object.entries(state.parts).flatMap(([name, found]) => [
    made("dt", "", PARTS[name]),
    made("dd", found.ok === false ? "bad" : "", found.text),
  ]));
}

function settings() {
  redraw("child", [state.children, state.settings.child], () => {
    const names = state.children.length ? state.children : [""];
    return options(names.map((name) => [name, name || "nobody yet"]));
  });
  part("turns").hidden = part("turns-note").hidden = state.children.length < 2;
  redraw("turns", [state.children, state.marks, together()], () => {
    if (state.children.length < 2) return [part("turns").firstElementChild];
    const [first, ...others] = together();
    const lead = made("p", "who", first);
    lead.prepend(drawMark(state.marks[first]));
    return [part("turns").firstElementChild, lead, ...state.children.filter((name) => name !== first).map((name) => {
      const label = tickBox(name, others.includes(name), drawMark(state.marks[name]), name);
      const tick = label.firstElementChild;
      tick.name = "turns";
      tick.disabled = others.length > 1 && !tick.checked;
      return label;
    })];
  });
  redraw("ways", state.freely, () => [part("ways").firstElementChild, ...state.freely.map(([slug, says]) => {
    const label = tickBox(slug, false, ` ${says}`);
    label.firstElementChild.name = "ways";
    return label;
  })]);
  redraw("voice", [state.voices, state.settings.voice], () => options(["", ...state.voices].map((name) => [name, name || "the usual one"])));
  part("plan").classList.toggle("planned", state.settings.plan);
  for (const field of all("#child, #plan [name], #sound [name]")) {
    if (field === document.activeElement && !["checkbox", "radio"].includes(field.type)) continue;
    if (field.name === "turns") continue;
    const value = state.settings[field.name];
    if (Array.isArray(value)) field.checked = value.includes(field.value);
    else if (field.name === "plan") field.checked = value === Boolean(field.value);
    else if (field.type === "radio") field.checked = field.value === value;
    else if (field.type === "checkbox") field.checked = value;
    else if (field.name === "child") field.value = value || state.children[0] || "";
    else field.value = value;
  }
}

function test() {
  const { test: trial } = state;
  const words = { none: "", listening: "Say a number now …", failed: trial.text, done: trial.text };
  for (const button of all("[data-ask]")) button.disabled = trial.state === "listening" || state.phase === "running";
  const welcoming = !part("first").hidden;
  text("test-says", trial.own || welcoming ? "" : words[trial.state] || "");
  text("first-says", welcoming ? words[trial.state] || "" : "");
  // Only what a trial ended: its first answer may still be that of the one before.
  if (tried && trial.state !== "listening") here.deaf();
  tried = trial.state === "listening";
  drawOwnRun(state);
  const sound = part("test-sound");
  sound.hidden = trial.state !== "done";
  if (trial.sound && played !== trial.sound) {
    played = trial.sound;
    sound.src = trial.sound;
  }
}

function value(field) {
  if (field.name === "ways" || field.name === "turns") return [...all(`[name=${field.name}]:checked`)].map((one) => one.value);
  if (field.name === "plan") return Boolean(field.value);
  if (field.type === "checkbox") return field.checked;
  if (field.type === "number") return Number(field.value);
  return field.value;
}

for (const form of all("form")) {
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("change", (event) => {
    if (event.target.name && form.id !== "arrange") line.tell({ kind: "set", values: { [event.target.name]: value(event.target) } });
  });
}
part("child").addEventListener("change", () => line.tell({ kind: "set", values: { child: part("child").value } }));

// A judgement says which question it is about, so that one which comes late never marks the next.
function choose(choice) {
  const { about } = state;
  line.tell({ kind: "choice", choice, ...(about ? { about: about.number } : {}) });
}
for (const button of all("[data-choice]")) button.addEventListener("click", () => choose(button.dataset.choice));
for (const button of all("[data-kind]")) button.addEventListener("click", () => line.tell({ kind: button.dataset.kind, way: button.dataset.way }));
for (const button of all("[data-ask]")) button.addEventListener("click", () => here.ask(state, { kind: button.dataset.ask }, button.dataset.ask === "test"));
for (const kind of ["start", "find"]) part(kind).addEventListener("click", () => line.tell({ kind }));
part("here").addEventListener("click", () => {
  line.tell({ kind: "start", here: true });
  location.assign("/");
});

addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.repeat || !state || !state.settings.keys) return;
  if (event.target.matches("input:not([type=checkbox], [type=radio]), select, textarea")) return;
  if (CHOICES[event.key] && state.phase === "running") choose(CHOICES[event.key]);
  if (event.key === "p") part("pause").click();
});
