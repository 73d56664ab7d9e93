// The parent's own voice, one recording after the other: hear it, say it, hear yourself, keep it or say it again.

import { options, part, text } from "/static/drawing.js";

let slots = [];
let played = "";
let children = "";
let askSlots = () => {};

const id = ({ kind, name }) => `${kind}/${name}`;
const chosen = () => slots.find((slot) => id(slot) === part("slot").value);

// `record` asks for a recording, with the microphone opened in the same touch.
export function openOwnRun(line, record) {
  askSlots = () => line.tell({ kind: "slots" });
  const ask = (slot, keep) => {
    part("slot").value = id(slot);
    drawChosen();
    record({ kind: "record", slot_kind: slot.kind, name: slot.name, keep });
  };
  part("slot").addEventListener("change", drawChosen);
  part("record").addEventListener("click", () => ask(chosen(), false));
  part("again").addEventListener("click", () => ask(chosen(), false));
  part("keep-next").addEventListener("click", () => {
    const next = following();
    if (next) ask(next, true);
    else line.tell({ kind: "keep-take" });
  });
  part("keep-stop").addEventListener("click", () => line.tell({ kind: "keep-take" }));
  part("stop-run").addEventListener("click", () => line.tell({ kind: "drop-take" }));
  part("unrecord").addEventListener("click", () => line.tell({ kind: "unrecord", slot_kind: chosen().kind, name: chosen().name }));
}

// What is not recorded yet: after the one chosen, else from the first on.
function following() {
  const at = slots.indexOf(chosen());
  return [...slots.slice(at + 1), ...slots.slice(0, Math.max(0, at))].find((slot) => !slot.recorded);
}

export function takeSlots(found) {
  const { value } = part("slot");
  slots = found;
  part("slot").replaceChildren(...options(slots.map((slot) => [id(slot), `${slot.recorded ? "✓ " : ""}${slot.words}`])));
  const goesOn = slots.find((slot) => !slot.recorded) || slots[0];
  part("slot").value = slots.some((slot) => id(slot) === value) ? value : id(goesOn);
  drawChosen();
}

function count(kinds) {
  const all = slots.filter(({ kind }) => kinds.includes(kind));
  return `${all.filter(({ recorded }) => recorded).length} of ${all.length}`;
}

function drawChosen() {
  const slot = chosen();
  text("own-count", `Number words: ${count(["words"])}. Names and phrases: ${count(["names", "phrases"])}.`);
  text("record", slot ? `Hear and say “${slot.words}”` : "Hear and say it");
  part("unrecord").disabled = !(slot && slot.recorded);
  if (part("own-take").hidden) showSound(slot && slot.recorded ? `/own/${slot.kind}/${slot.name}.wav?${Date.now()}` : "");
}

function showSound(address) {
  part("own-sound").hidden = !address;
  if (address) part("own-sound").src = address;
}

export function drawOwnRun({ test: trial, phase, children: names }) {
  // Names are among what can be recorded.
  if (children !== names.join("/")) askSlots();
  children = names.join("/");
  const busy = trial.state === "listening" || phase === "running";
  const decides = trial.state === "own" && Boolean(trial.sound) && !busy;
  part("record").disabled = busy || !slots.length;
  part("record").hidden = decides;
  const waited = part("own-take").hidden;
  part("own-take").hidden = !decides;
  text("own-says", trial.own ? `${trial.says ? "Listen" : "Say now"}: “${trial.own}”` : trial.state === "own" ? trial.text : "");
  if (decides && trial.sound !== played) {
    played = trial.sound;
    showSound(trial.sound);
    // Where the browser plays nothing by itself, the parent presses play.
    part("own-sound").play().catch(() => {});
    part("keep-next").focus();
  } else if (!decides && !waited) {
    drawChosen();
    if (!busy) part("record").focus();
  }
}
