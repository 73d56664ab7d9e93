// The room of today: the sitting, what was heard in it, how it went, and tomorrow.

import { all, counted, listed, made, part, redraw, text } from "/static/drawing.js";
import { JUDGED, judged } from "/static/judged.js";

const SIGNS = {
  rest: "resting.",
  speaks: "the tool speaks.",
  turn: "it is the child's turn.",
  heard: "the answer is over; it is being understood.",
  again: "it was not clear: it is asked again.",
  adult: "you are needed.",
};
const VERDICTS = { right: "Right", "other-form": "Right, other name", wrong: "Another number", unclear: "Not clear", "set-aside": "Set aside by you" };
const OVERRIDES = { right: "You: right.", wrong: "You: not right.", again: "You: again; this one does not count.", skip: "You: this one does not count." };
const WHY_ENDED = { time: "The time was up.", stopped: "You stopped it.", "no-more": "It came to its end.", asked: "" };
const CHANGES = [["right", "was right"], ["wrong", "was not right"], ["skip", "does not count"]];

let line = null;
let open = null;
let welcoming = false;

export function openToday(linked) {
  line = linked;
}

export function drawToday(state) {
  const running = state.phase === "running";
  text("what", running ? `${state.child}${state.looking ? " (finding the place)" : ""}: ${state.paused ? "you let it rest; Go on asks again." : SIGNS[state.sign]}` : state.phase === "finished" ? "The sitting is over." : "Ready when you are.");
  text("wanted", running ? wanted(state) : "");
  welcome(state);
  part("before").hidden = running;
  part("during").hidden = part("meter").hidden = !running;
  part("place").hidden = !state.place || running;
  if (state.place) {
    text("found", state.place.sentence);
    part("take-place").hidden = !state.place.answers;
    part("take-place").classList.toggle("main", state.place.sure);
    text("take-place", `Take it: ${state.place.child} goes on there`);
  }
  part("go").disabled = !running || !(state.needed || state.paused);
  part("go").classList.toggle("main", !part("go").disabled);
  part("pause").disabled = !running || !part("go").disabled;
  const { about } = state;
  for (const [choice, says] of Object.entries(JUDGED)) {
    const button = all(`.judge [data-choice=${choice}]`)[0];
    button.firstElementChild.textContent = about ? judged(choice, about) : says[0].toUpperCase() + says.slice(1);
    button.dataset.about = about ? about.number : "";
  }
  text("voice-now", `${state.settings.rate} words a minute, volume ${Math.round(state.settings.volume * 100)} %`);
  answers(state);
  finished(state);
  ahead(state);
}

// Three steps stay on one page until the first sitting begins.
function welcome({ children, phase }) {
  const here = !children.length || (welcoming && phase === "idle");
  const added = welcoming && here && children.length > 0 && !part("first-who").textContent;
  welcoming = here;
  part("first").hidden = !here;
  part("who-row").hidden = here;
  part("how").hidden = here && !children.length;
  text("first-who", children.length ? `${listed(children)}. More in the room “Child”.` : "");
  const place = here ? part("first-begin") : part("who-row");
  if (part("begin").parentElement !== place) place.append(part("begin"));
  // One way to begin is enough: the child's screen is this window, or it is open.
  part("start").hidden = here && !part("here").hidden;
  if (added) part(part("here").hidden ? "start" : "here").focus();
}

function wanted(state) {
  if (state.needed) return state.needed;
  const question = state.wanted ? `Question ${state.asked}: wanted is ${state.wanted}${state.attempt > 1 ? ` (try ${state.attempt})` : ""}. ` : "";
  return question + (state.caption && state.sign === "speaks" ? `${state.aloud ? "Said" : "Read this aloud"}: “${state.caption}”` : "");
}

function answers(state) {
  part("heard").hidden = state.phase === "idle";
  part("none-heard").hidden = state.answers.length > 0;
  const kept = Boolean(state.arrangement && state.arrangement.audio_days);
  redraw("answers", [state.answers, kept], () => state.answers.map((answer) => drawAnswer(answer, kept)));
}

function drawAnswer(answer, kept) {
  const item = made("li", answer.verdict);
  const silent = answer.verdict === "unclear" && answer.voice_after === null;
  const verb = answer.way === "digits" ? "Put down" : "Heard";
  const heard = answer.heard ? `${verb} “${answer.heard}”` : silent ? "Heard nothing" : "Heard nothing that is a number";
  const judged = answer.judged_by === "parent";
  const verdict = made("span", "verdict", judged && answer.verdict === "wrong" ? "Not right" : VERDICTS[answer.verdict]);
  if (answer.child) verdict.append(made("span", "whose", answer.child));
  item.append(verdict, made("span", "", judged ? `Wanted was ${answer.wanted}.` : `${heard}, wanted ${answer.wanted}.`));
  if (judged || (answer.verdict !== "right" && !silent)) item.append(made("span", "why", answer.why));
  if (answer.note) item.append(made("span", "why", answer.note));
  if (answer.override) item.append(made("span", "yours", OVERRIDES[answer.override]));
  item.append(changes(answer, kept && answer.way === "spoken" && !silent && !judged));
  return item;
}

function changes(answer, kept) {
  const fold = made("details", "changes");
  fold.open = open === answer.id;
  fold.addEventListener("toggle", () => {
    if (fold.open) open = answer.id;
    else if (open === answer.id) open = null;
  });
  fold.append(made("summary", "", "Change"));
  const choices = answer.override ? [[null, "take back"]] : CHANGES;
  for (const [verdict, says] of choices) {
    const button = made("button", "", says);
    button.type = "button";
    button.setAttribute("aria-label", `${answer.wanted}: ${says}`);
    button.addEventListener("click", () => line.tell({ kind: "correct", answer: answer.id, verdict }));
    fold.append(button);
  }
  if (kept) {
    const play = made("button", "", "▶");
    play.type = "button";
    play.setAttribute("aria-label", `Hear the answer to ${answer.wanted}`);
    play.addEventListener("click", () => new Audio(`/answers/${answer.id}.flac`).play().catch(() => play.replaceWith("not kept")));
    fold.append(play);
  }
  return fold;
}

// What counts is the parent's word where there is one.
function final(answer) {
  if (answer.override === "right" || answer.override === "wrong") return answer.override;
  return answer.override ? "set-aside" : answer.verdict;
}

function finished(state) {
  part("after").hidden = !state.finished;
  if (!state.finished) return;
  const { answers: count, minutes, why, children } = state.finished;
  text("summary", `${listed(state.seats)}: ${counted(count, "answer")} in ${counted(Math.max(1, Math.round(minutes)), "minute")}. ${WHY_ENDED[why]}`);
  const verdicts = state.answers.map(final);
  const counts = Object.keys(VERDICTS).filter((verdict) => verdicts.includes(verdict)).map((verdict) => `${VERDICTS[verdict]}: ${verdicts.filter((one) => one === verdict).length}`);
  redraw("counts", counts, () => counts.map((words) => made("li", "", words)));
  redraw("shares", children, () => children.filter((share) => share.told || children.length > 1).map((share) => {
    const own = children.length > 1 ? `${share.child}, ${counted(share.answers, "answer")}.` : "";
    return made("li", "", [own, share.aim, share.told].filter(Boolean).join(" "));
  }));
}

function ahead(state) {
  const { outlook } = state;
  part("ahead").hidden = !outlook;
  if (!outlook) return;
  const several = state.phase === "running" && state.aims.length > 1;
  text("aim", several ? "Today:" : `Today: ${outlook.aim} ${outlook.why}`);
  redraw("aims", several ? state.aims : [], () => (several ? state.aims : []).map(({ child, aim, why }) => made("li", "", `${child}: ${aim} Because ${why}.`)));
  part("tomorrow").parentElement.hidden = state.phase === "running";
  const { tomorrow } = outlook;
  const rows = [["Aim", tomorrow.aim], ["", tomorrow.why], ["Lay out", tomorrow.lay_out], ["Say", tomorrow.say], ["Minutes", String(tomorrow.minutes)]];
  redraw("tomorrow", rows, () => rows.filter(([, words]) => words).flatMap(([name, words]) => [made("dt", "", name), made("dd", "", words)]));
}
