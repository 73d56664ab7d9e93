// The parent's desk: draws the state that it is sent, and sends what the parent decides.
// Names and what was heard are always set as text, never as markup.

import { openLine } from "/static/line.js";
import { drawMark } from "/static/marks.js";

const SIGNS = {
  rest: "Resting.",
  speaks: "The tool speaks.",
  turn: "It is the child's turn.",
  heard: "The answer is over; it is being understood.",
  again: "It was not clear: it is asked again.",
  adult: "You are needed.",
};
const VERDICTS = { right: "Right", "other-form": "Right, other name", wrong: "Another number", unclear: "Not clear", "set-aside": "Set aside by you" };
const OVERRIDES = { right: "You: right.", wrong: "You: not right.", again: "You: again; this one does not count.", skip: "You: left out; it does not count." };
const WHY_ENDED = { time: "The time was up.", stopped: "You stopped it.", "no-more": "It came to its end.", asked: "" };
const PARTS = { screen: "Child's screen", microphone: "Microphone", recogniser: "Recogniser", voice: "Voice" };
const CHOICES = { r: "right", w: "wrong", a: "again", s: "skip", q: "stop", g: "go" };

const PACES = [[0.75, "three quarters of the usual"], [1, "as usual"], [1.5, "half as much again"], [2, "twice the usual"], [3, "three times the usual"]];
const PLACES = { behind: "behind", here: "here now", ahead: "to come" };

const part = (id) => document.getElementById(id);
const all = (selector) => document.querySelectorAll(selector);
let state = null;
let drawn = {};

let slots = [];

const line = openLine("/desk-line", take, (yes) => {
  part("line").hidden = yes;
  if (yes) line.tell({ kind: "slots" });
});

function take(message) {
  if (message.level !== undefined) {
    part("meter").style.setProperty("--level", message.level);
    clearTimeout(drawn.quiet);
    drawn.quiet = setTimeout(() => part("meter").style.setProperty("--level", 0), 400);
  }
  if (message.slots) {
    slots = message.slots;
    drawSlots();
  }
  if (message.refused !== undefined) {
    part("refused").textContent = message.refused;
    part("refused").hidden = !message.refused;
  }
  if (message.refused !== undefined && drawn.keeping) {
    drawn.keeping = false;
    text("kept", message.refused || message.told);
  }
  if (message.state) {
    state = message.state;
    draw();
  }
}

function draw() {
  const running = state.phase === "running";
  text("what", running ? `${state.child}${state.looking ? " (finding the place)" : ""}: ${SIGNS[state.sign]}` : state.phase === "finished" ? "The sitting is over." : "Nothing goes on.");
  text("wanted", running ? wanted() : "");
  part("start").disabled = running || state.test.state === "listening";
  const names = together();
  text("start", names.length ? `Start with ${listed(names)}` : "Start");
  part("find").disabled = part("start").disabled || !names.length;
  text("find", names.length ? `Find ${names[0]}'s place` : "Find the place");
  part("find").hidden = part("find-note").hidden = running;
  part("place").hidden = !state.place || running;
  if (state.place) {
    text("found", state.place.sentence);
    part("take-place").hidden = !state.place.answers;
    part("take-place").classList.toggle("main", state.place.sure);
    text("take-place", `Take it: ${state.place.child} goes on there`);
  }
  part("stop").disabled = !running;
  part("go").disabled = !running || !state.needed;
  for (const button of all(".judge button")) button.disabled = !running;
  text("voice-now", `${state.settings.rate} words a minute, volume ${Math.round(state.settings.volume * 100)} %`);
  document.body.classList.toggle("no-keys", !state.settings.keys);
  notices();
  answers();
  parts();
  settings();
  arrangement();
  finished();
  ahead();
  test();
}

// Who the next sitting is with: the child chosen first.
function together() {
  const { children, settings: { child, turns } } = state;
  const first = child || children[0];
  return first ? [first, ...turns.filter((name) => name !== first && children.includes(name))] : [];
}

function listed(names) {
  return names.length > 1 ? `${names.slice(0, -1).join(", ")} and ${names.at(-1)}` : names[0];
}

function text(id, words) {
  const place = part(id);
  if (place.textContent !== words) place.textContent = words;
}

function wanted() {
  if (state.needed) return state.needed;
  const question = state.wanted ? `Question ${state.asked}: wanted is ${state.wanted}${state.attempt > 1 ? ` (try ${state.attempt})` : ""}. ` : "";
  return question + (state.caption && state.sign === "speaks" ? `${state.aloud ? "Said" : "Read this aloud"}: “${state.caption}”` : "");
}

function made(tag, className, words) {
  const element = document.createElement(tag);
  if (className) element.className = className;
  if (words) element.textContent = words;
  return element;
}

function redraw(id, value, build) {
  const key = JSON.stringify(value);
  if (drawn[id] === key) return;
  drawn[id] = key;
  part(id).replaceChildren(...build());
}

function notices() {
  redraw("notices", state.notices, () => state.notices.map((notice) => {
    const item = made("li");
    const away = made("button", "", "Seen");
    away.type = "button";
    away.setAttribute("aria-label", `Seen: ${notice.text}`);
    away.addEventListener("click", () => line.tell({ kind: "forget", notice: notice.kind }));
    item.append(made("span", "", notice.text), away);
    return item;
  }));
}

function answers() {
  part("none-heard").hidden = state.answers.length > 0;
  redraw("answers", state.answers, () => state.answers.map((answer) => {
    const item = made("li", answer.verdict);
    const silent = answer.verdict === "unclear" && answer.voice_after === null;
    const verb = answer.way === "digits" ? "Put down" : "Heard";
    const heard = answer.heard ? `${verb} “${answer.heard}”` : silent ? "Heard nothing" : "Heard nothing that is a number";
    const judged = answer.judged_by === "parent";
    const verdict = made("span", "verdict", VERDICTS[answer.verdict]);
    if (answer.child) verdict.append(made("span", "whose", answer.child));
    item.append(
      verdict,
      made("span", "", judged ? `Wanted was ${answer.wanted}.` : `${heard}, wanted ${answer.wanted}.`),
    );
    if (judged || (answer.verdict !== "right" && !silent)) item.append(made("span", "why", answer.why));
    if (answer.note) item.append(made("span", "why", answer.note));
    if (answer.override) item.append(made("span", "yours", OVERRIDES[answer.override]));
    return item;
  }));
}

function parts() {
  redraw("parts", state.parts, () => Object.entries(state.parts).flatMap(([name, found]) => [
    made("dt", "", PARTS[name]),
    made("dd", found.ok === false ? "bad" : "", found.text),
  ]));
}

function settings() {
  redraw("child", [state.children, state.settings.child], () => {
    const names = state.children.length ? state.children : [""];
    return names.map((name) => {
      const option = made("option", "", name || "nobody yet");
      option.value = name;
      return option;
    });
  });
  part("turns").hidden = part("turns-note").hidden = state.children.length < 2;
  redraw("turns", [state.children, state.marks, together()], () => {
    if (state.children.length < 2) return [part("turns").firstElementChild];
    const [first, ...others] = together();
    const lead = made("p", "who", first);
    lead.prepend(drawMark(state.marks[first]));
    return [part("turns").firstElementChild, lead, ...state.children.filter((name) => name !== first).map((name) => {
      const label = made("label");
      const tick = made("input");
      Object.assign(tick, { type: "checkbox", name: "turns", value: name, checked: others.includes(name) });
      tick.disabled = others.length > 1 && !tick.checked;
      label.append(tick, drawMark(state.marks[name]), name);
      return label;
    })];
  });
  redraw("ways", state.freely, () => [part("ways").firstElementChild, ...state.freely.map(([slug, says]) => {
    const label = made("label");
    const tick = made("input");
    Object.assign(tick, { type: "checkbox", name: "ways", value: slug });
    label.append(tick, ` ${says}`);
    return label;
  })]);
  redraw("voice", [state.voices, state.settings.voice], () => ["", ...state.voices].map((name) => {
    const option = made("option", "", name || "this machine's English voice");
    option.value = name;
    return option;
  }));
  for (const field of all("#plan [name], #sound [name]")) {
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

function ahead() {
  part("plan").classList.toggle("planned", state.settings.plan);
  const { outlook } = state;
  part("ahead").hidden = !outlook;
  if (!outlook) return;
  const several = state.phase === "running" && state.aims.length > 1;
  text("aim", several ? "Today:" : `Today: ${outlook.aim} ${outlook.why}`);
  redraw("aims", several ? state.aims : [], () => (several ? state.aims : []).map(({ child, aim, why }) => made("li", "", `${child}: ${aim} Because ${why}.`)));
  const { tomorrow } = outlook;
  const rows = [["Aim", tomorrow.aim], ["", tomorrow.why], ["Lay out", tomorrow.lay_out], ["Say", tomorrow.say], ["Minutes", String(tomorrow.minutes)]];
  redraw("tomorrow", rows, () => rows.filter(([, words]) => words).flatMap(([name, words]) => [made("dt", "", name), made("dd", "", words)]));
}

function options(pairs) {
  return pairs.map(([value, words]) => {
    const option = made("option", "", words);
    option.value = value;
    return option;
  });
}

// Drawn only where it changed, so that what the parent is about to change stays as it is.
function arrangement() {
  const { arrangement: holds } = state;
  part("arranged").hidden = !holds;
  if (!holds || drawn.arrangement === JSON.stringify(holds)) return;
  if (drawn.arrangedChild !== holds.child) text("kept", "");
  drawn.arrangement = JSON.stringify(holds);
  drawn.arrangedChild = holds.child;
  const { child, steps } = holds;
  text("arranged-title", `${child} on the path`);
  text("keep", `Keep for ${child}`);
  const here = steps.find((step) => step.slug === holds.step);
  text("stands", `${child} is at “${here.title}” (${here.how}) after ${holds.answers} ${holds.answers === 1 ? "answer" : "answers"}.`);
  part("step").replaceChildren(...options(steps.map(({ slug, title, place, how }) => [slug, `${title} (${PLACES[place]}, ${how})`])));
  part("step").value = holds.step;
  const paces = PACES.some(([pace]) => pace === holds.pace) ? PACES : [...PACES, [holds.pace, `${holds.pace} times the usual`]];
  part("pace").replaceChildren(...options(paces));
  part("pace").value = holds.pace;
  part("limit").value = holds.limit;
  part("skipped").replaceChildren(part("skipped").firstElementChild, ...steps.map(({ slug, title }) => {
    const label = made("label");
    const tick = made("input");
    tick.type = "checkbox";
    tick.value = slug;
    tick.checked = holds.skipped.includes(slug);
    label.append(tick, ` ${title}`);
    return label;
  }));
  for (const tick of all("#forms input")) tick.checked = holds.forms.includes(tick.value);
  part("recorded").checked = holds.audio_days > 0;
  part("audio-days").value = holds.audio_days || 30;
  recordedDays();
}

function recordedDays() {
  part("audio-days").disabled = !part("recorded").checked;
}

const ticked = (selector) => [...all(`${selector} input:checked`)].map((tick) => tick.value);

part("recorded").addEventListener("change", recordedDays);
part("arrange").addEventListener("submit", () => {
  drawn.keeping = true;
  line.tell({
    kind: "arrange",
    child: drawn.arrangedChild,
    values: {
      step: part("step").value,
      skipped: ticked("#skipped"),
      pace: Number(part("pace").value),
      limit: Number(part("limit").value),
      forms: ticked("#forms"),
      audio_days: part("recorded").checked ? Number(part("audio-days").value) : 0,
    },
  });
});

function finished() {
  part("after").hidden = !state.finished;
  if (!state.finished) return;
  const { answers: count, minutes, verdicts, why } = state.finished;
  const whole = Math.max(1, Math.round(minutes));
  text("summary", `${listed(state.seats)}: ${count} ${count === 1 ? "answer" : "answers"} in ${whole} ${whole === 1 ? "minute" : "minutes"}. ${WHY_ENDED[why]}`);
  redraw("counts", verdicts, () => Object.keys(VERDICTS).filter((verdict) => verdicts[verdict]).map((verdict) => made("li", "", `${VERDICTS[verdict]}: ${verdicts[verdict]}`)));
  const { children } = state.finished;
  redraw("shares", children, () => children.filter((share) => share.told || children.length > 1).map((share) => {
    const own = `${share.answers} ${share.answers === 1 ? "answer" : "answers"}`;
    return made("li", "", [children.length > 1 ? `${share.child}, ${own}.` : "", share.aim, share.told].filter(Boolean).join(" "));
  }));
}

function test() {
  const { test: trial } = state;
  part("test").disabled = part("hear").disabled = part("record").disabled = trial.state === "listening" || state.phase === "running";
  const words = { none: "", listening: "Say something now …", failed: trial.text, done: trial.text };
  text("test-says", trial.own ? "" : words[trial.state] || "");
  text("own-says", trial.own ? `Say now: “${trial.own}”` : trial.state === "own" ? trial.text : "");
  const sound = part("test-sound");
  sound.hidden = trial.state !== "done";
  if (trial.sound && drawn.sound !== trial.sound) {
    drawn.sound = trial.sound;
    sound.src = trial.sound;
  }
}

function drawSlots() {
  const chosen = part("slot").value;
  part("slot").replaceChildren(...slots.map((slot) => {
    const option = made("option", "", `${slot.recorded ? "✓ " : ""}${slot.words}`);
    option.value = `${slot.kind}/${slot.name}`;
    return option;
  }));
  if (chosen) part("slot").value = chosen;
  drawOwn();
}

function ownSlot() {
  return slots.find((slot) => `${slot.kind}/${slot.name}` === part("slot").value);
}

function drawOwn() {
  const slot = ownSlot();
  const sound = part("own-sound");
  sound.hidden = !(slot && slot.recorded);
  part("unrecord").disabled = sound.hidden;
  if (!sound.hidden) sound.src = `/own/${slot.kind}/${slot.name}.wav?${Date.now()}`;
}

part("slot").addEventListener("change", drawOwn);
for (const kind of ["record", "unrecord"]) {
  part(kind).addEventListener("click", () => {
    const slot = ownSlot();
    if (slot) line.tell({ kind, slot_kind: slot.kind, name: slot.name });
  });
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
for (const button of all("[data-choice]")) button.addEventListener("click", () => line.tell({ kind: "choice", choice: button.dataset.choice }));
for (const button of all("[data-kind]")) button.addEventListener("click", () => line.tell({ kind: button.dataset.kind, way: button.dataset.way }));
part("start").addEventListener("click", () => line.tell({ kind: "start" }));
part("find").addEventListener("click", () => line.tell({ kind: "find" }));
part("hear").addEventListener("click", () => line.tell({ kind: "hear" }));
part("test").addEventListener("click", () => line.tell({ kind: "test" }));
part("add-child").addEventListener("click", addChild);
part("new-child").addEventListener("keydown", (event) => { if (event.key === "Enter") addChild(); });

function addChild() {
  const field = part("new-child");
  line.tell({ kind: "add-child", name: field.value });
  field.value = "";
}

addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.repeat || !state || !state.settings.keys) return;
  if (event.target.matches("input:not([type=checkbox], [type=radio]), select, textarea")) return;
  if (CHOICES[event.key] && state.phase === "running") line.tell({ kind: "choice", choice: CHOICES[event.key] });
});
