// The room of one child: where it stands, what is arranged for it, papers, name and deletion.

import { all, counted, options, part, redraw, text, tickBox } from "/static/drawing.js";

const PACES = [[0.75, "three quarters of the usual"], [1, "as usual"], [1.5, "half as much again"], [2, "twice the usual"], [3, "three times the usual"]];
const PLACES = { behind: "behind", here: "here now", ahead: "to come" };

let holds = null;
let drawn = "";
let asked = "";
const ticked = (selector) => [...all(`${selector} input:checked`)].map((tick) => tick.value);

export function openChildRoom(line) {
  const ask = (id, message) => {
    asked = id;
    line.tell(message);
  };
  part("recorded").addEventListener("change", recordedDays);
  part("arrange").addEventListener("submit", () => ask("kept", {
    kind: "arrange",
    child: holds.child,
    values: {
      step: part("step").value,
      skipped: ticked("#skipped"),
      pace: Number(part("pace").value),
      limit: Number(part("limit").value),
      forms: ticked("#forms"),
      counts_to: number("counts-to"),
      audio_days: part("recorded").checked ? Number(part("audio-days").value) : 0,
    },
  }));
  part("rename").addEventListener("submit", () => ask("told", { kind: "rename-child", child: holds.child, name: emptied("new-name") }));
  part("delete").addEventListener("submit", () => ask("told", { kind: "delete-child", child: holds.child, typed: emptied("typed") }));
  part("add").addEventListener("submit", () => line.tell({ kind: "add-child", name: emptied("new-child"), counts_to: Number(emptied("new-counts")) || null }));
}

const number = (id) => Number(part(id).value) || null;

function emptied(id) {
  const { value } = part(id);
  part(id).value = "";
  return value;
}

// What came of what was asked for in this room stands beside the button.
export function tellChildRoom(words) {
  if (asked) text(asked, words);
  asked = "";
}

export function drawChildRoom(state) {
  const first = state.children.length === 0;
  // The same field, where it is needed most.
  const place = first ? part("first-name") : part("adding");
  if (part("add").parentElement !== place) place.append(part("add"));
  part("adding").hidden = first;
  holds = state.arrangement;
  part("arranged").hidden = part("papers").hidden = part("leaving").hidden = !holds;
  if (!holds || drawn === JSON.stringify(holds)) return;
  if (!drawn || JSON.parse(drawn).child !== holds.child) text("kept", "");
  drawn = JSON.stringify(holds);
  const { child, steps } = holds;
  text("arranged-title", `${child} on the path`);
  text("keep", `Keep for ${child}`);
  text("papers-title", `Papers about ${child}`);
  const here = steps.find((step) => step.slug === holds.step);
  text("stands", `${child} is at “${here.title}” (${here.how}) after ${counted(holds.answers, "answer")}.`);
  part("step").replaceChildren(...options(steps.map(({ slug, title, place: where, how }) => [slug, `${title} (${PLACES[where]}, ${how})`])));
  part("step").value = holds.step;
  const paces = PACES.some(([pace]) => pace === holds.pace) ? PACES : [...PACES, [holds.pace, `${holds.pace} times the usual`]];
  part("pace").replaceChildren(...options(paces));
  part("pace").value = holds.pace;
  part("limit").value = holds.limit;
  part("counts-to").value = holds.counts_to || "";
  redraw("skipped", [steps, holds.skipped], () => [
    part("skipped").firstElementChild,
    ...steps.map(({ slug, title }) => tickBox(slug, holds.skipped.includes(slug), ` ${title}`)),
  ]);
  for (const tick of all("#forms input")) tick.checked = holds.forms.includes(tick.value);
  part("recorded").checked = holds.audio_days > 0;
  part("audio-days").value = holds.audio_days || 30;
  recordedDays();
}

function recordedDays() {
  part("audio-days").disabled = !part("recorded").checked;
}
