// The parent's drawer over the child's screen, behind a long press: the desk's own commands, over the desk's own line.

import { part } from "/static/drawing.js";
import { JUDGED, judged } from "/static/judged.js";
import { openLine } from "/static/line.js";

// A child's touch is short.
const HELD_MS = 1000;

const choices = () => [...document.querySelectorAll("#drawer [data-choice]")];
let line = null;
let state = null;
let about = null;
let leaves = false;
let hinted = 0;

export function openDrawer() {
  hold(part("to-desk"), open);
  part("to-pause").addEventListener("click", pause);
  part("whole-desk").addEventListener("click", () => { window.open("/desk", "_blank", "noopener"); close(); });
  part("away").addEventListener("click", close);
  part("drawer").addEventListener("keydown", (event) => { if (event.key === "Escape") close(); });
  for (const button of choices()) button.addEventListener("click", () => choose(button.dataset.choice));
}

function open() {
  if (!part("drawer").hidden) return;
  state = about = null;
  line = openLine("/desk-line", take, () => {});
  draw();
  part("drawer").hidden = false;
  part("hint").hidden = true;
  part("refused").textContent = "";
  part("to-desk").setAttribute("aria-expanded", "true");
  part("away").focus();
}

function close() {
  line.end();
  part("drawer").hidden = true;
  part("to-desk").setAttribute("aria-expanded", "false");
  part("to-desk").focus();
}

function take(message) {
  if (message.refused !== undefined) {
    part("refused").textContent = message.refused;
    if (leaves && !message.refused) close();
    leaves = false;
  }
  if (!message.state) return;
  state = message.state;
  // The number that was asked when it was opened: a judgement never marks the next one.
  about ??= state.about;
  draw();
}

function draw() {
  const running = state?.phase === "running";
  for (const button of choices()) {
    const { choice } = button.dataset;
    button.hidden = !running || Boolean(JUDGED[choice] && !about);
    if (JUDGED[choice] && about) button.textContent = judged(choice, about);
  }
  part("to-pause").hidden = !running;
  part("to-pause").textContent = goesOn() ? "Go on" : "Pause";
  part("needed").textContent = running ? state.needed : "";
}

const goesOn = () => Boolean(state && (state.paused || state.needed));

function pause() {
  // Resting, the buttons stay in sight.
  if (!goesOn()) line.tell({ kind: "pause" });
  else if (state.paused) tell({ kind: "resume" });
  else choose("go");
}

function choose(choice) {
  tell({ kind: "choice", choice, ...(about && JUDGED[choice] ? { about: about.number } : {}) });
}

// The drawer goes once it was done.
function tell(message) {
  leaves = true;
  line.tell(message);
}

// For a grown-up who only touched it.
function hint() {
  clearTimeout(hinted);
  part("hint").hidden = false;
  hinted = setTimeout(() => { part("hint").hidden = true; }, 3000);
}

function hold(button, act) {
  let since = null;
  const down = () => { since ??= performance.now(); button.classList.add("held"); };
  const up = () => {
    const long = since !== null && performance.now() - since >= HELD_MS;
    since = null;
    button.classList.remove("held");
    if (long) act();
    else hint();
  };
  const away = () => { since = null; button.classList.remove("held"); };
  const pressed = (event) => event.key === "Enter" || event.key === " ";
  button.addEventListener("pointerdown", down);
  button.addEventListener("pointerup", up);
  for (const kind of ["pointerleave", "pointercancel", "blur"]) button.addEventListener(kind, away);
  button.addEventListener("contextmenu", (event) => event.preventDefault());
  button.addEventListener("keydown", (event) => { if (pressed(event)) down(); });
  button.addEventListener("keyup", (event) => { if (pressed(event)) up(); });
}
