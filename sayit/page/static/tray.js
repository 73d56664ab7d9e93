// Things to build a number with: pulled into the frame by touch, or put there by keys.

import { key } from "/static/pad.js";

const SHORT = "http://www.w3.org/2000/svg";
const PLACES = ["ones", "tens", "hundreds", "thousands"];
const NAMES = { ones: "one", tens: "ten", hundreds: "hundred", thousands: "thousand" };
const SIZES = { ones: "1 1", tens: "4 5.9", hundreds: "7.1 6.1", thousands: "10.6 6" };
const MOST = 19;

function thing(place) {
  const svg = document.createElementNS(SHORT, "svg");
  svg.setAttribute("viewBox", `0 0 ${SIZES[place]}`);
  svg.setAttribute("aria-hidden", "true");
  svg.setAttribute("class", `thing ${place}`);
  const use = document.createElementNS(SHORT, "use");
  use.setAttribute("href", `#${place}`);
  svg.append(use);
  return svg;
}

function made(name, act, ...inside) {
  const button = document.createElement("button");
  button.type = "button";
  button.setAttribute("aria-label", name);
  button.append(...inside);
  button.addEventListener("click", act);
  return button;
}

export function openTray({ tray, touched, placed }) {
  let question = null;
  let places = [];
  let counts = {};
  let open = false;

  const value = () => places.reduce((sum, place) => sum + counts[place] * 10 ** PLACES.indexOf(place), 0);

  function change(place, by, to = null) {
    if (!open || counts[place] + by < 0 || counts[place] + by > MOST) return;
    if (to && counts[to.place] + to.by > MOST) return;
    if (!value()) touched();
    counts[place] += by;
    if (to) counts[to.place] += to.by;
    draw();
  }

  // Pulled from where it lies into the frame, or out of it.
  function pull(button, place, into) {
    let ghost = null;
    let from = null;
    let pulledAt = -1000;
    button.addEventListener("click", (event) => {
      if (performance.now() - pulledAt < 100) event.stopImmediatePropagation();
    }, { capture: true });
    button.addEventListener("pointerdown", (event) => {
      if (!open) return;
      from = event;
      button.setPointerCapture(event.pointerId);
    });
    button.addEventListener("pointermove", (event) => {
      if (!from) return;
      if (!ghost && Math.hypot(event.clientX - from.clientX, event.clientY - from.clientY) > 12) {
        ghost = thing(place);
        ghost.classList.add("ghost");
        document.body.append(ghost);
      }
      if (ghost) {
        ghost.style.left = `${event.clientX}px`;
        ghost.style.top = `${event.clientY}px`;
      }
    });
    const end = (event) => {
      const pulled = ghost;
      ghost?.remove();
      ghost = from = null;
      if (!pulled || event.type === "pointercancel") return;
      // The click that follows a pull is none.
      pulledAt = performance.now();
      const frame = tray.querySelector(".frame").getBoundingClientRect();
      const inside = event.clientY > frame.top && event.clientY < frame.bottom && event.clientX > frame.left && event.clientX < frame.right;
      if (inside === into) change(place, into ? 1 : -1);
    };
    button.addEventListener("pointerup", end);
    button.addEventListener("pointercancel", end);
  }

  function column(place) {
    const at = PLACES.indexOf(place);
    const group = document.createElement("div");
    group.className = "column";
    group.dataset.place = place;
    group.setAttribute("role", "group");
    group.setAttribute("aria-label", `${NAMES[place]}s in the frame: ${counts[place]}`);
    for (let index = 0; index < counts[place]; index++) {
      const below = PLACES[at - 1];
      const untie = () => (below ? change(place, -1, { place: below, by: 10 }) : change(place, -1));
      const button = made(below ? `Undo a ${NAMES[place]}` : "Take a one away", untie, thing(place));
      button.addEventListener("keydown", (event) => {
        if (event.key !== "Delete" && event.key !== "Backspace") return;
        event.preventDefault();
        change(place, -1);
      });
      pull(button, place, false);
      group.append(button);
    }
    const above = PLACES[at + 1];
    if (counts[place] >= 10 && places.includes(above)) {
      const tie = made(`Tie ten into a ${NAMES[above]}`, () => change(place, -10, { place: above, by: 1 }), thing(above));
      tie.className = "tie";
      group.append(tie);
    }
    return group;
  }

  function draw() {
    const focused = document.activeElement?.getAttribute("aria-label");
    const store = document.createElement("div");
    store.className = "store";
    store.append(...places.map((place) => {
      const button = made(`One ${NAMES[place]} more`, () => change(place, 1), thing(place));
      pull(button, place, true);
      return button;
    }));
    const frame = document.createElement("div");
    frame.className = "frame";
    frame.append(...places.map(column));
    const done = key("", "That is my number", () => { if (open && value()) placed(String(value())); }, "M8 26l11 11 21-26");
    done.classList.add("done");
    tray.replaceChildren(frame, store, done);
    for (const button of tray.querySelectorAll("button")) button.disabled = !open || (button === done && !value());
    if (focused) [...tray.querySelectorAll("button")].find((one) => one.getAttribute("aria-label") === focused)?.focus();
  }

  return {
    show(number, frame, hands) {
      if (question !== number) {
        question = number;
        places = PLACES.slice(0, String(frame).length).reverse();
        counts = Object.fromEntries(PLACES.map((place) => [place, 0]));
      }
      open = hands;
      draw();
    },
  };
}
