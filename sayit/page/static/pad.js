// Digits to put down, by touch or by key.

const SHORT = "http://www.w3.org/2000/svg";
const MOST = 7;

export function openPad({ row, pad, touched, placed }) {
  let digits = "";
  let open = false;
  let question = null;

  function draw() {
    const signs = [...digits].map((digit, index) => {
      const place = document.createElement("span");
      place.textContent = digit;
      // With four digits and more, the thousands stand apart.
      if (digits.length >= 4 && digits.length - index === 4) place.className = "thousand";
      return place;
    });
    if (digits.length < MOST && open) {
      const next = document.createElement("span");
      next.className = "next";
      next.textContent = "\u00a0";
      signs.push(next);
    }
    row.replaceChildren(...signs);
    row.setAttribute("aria-label", `Digits put down: ${[...digits].join(" ") || "none"}`);
    for (const button of pad.querySelectorAll("button")) {
      const needsDigits = button.matches(".take-back, .done");
      button.disabled = !open || (needsDigits && !digits);
    }
  }

  function put(digit) {
    if (!open || digits.length >= MOST) return;
    if (!digits) touched();
    digits += digit;
    draw();
  }

  function takeBack() {
    digits = digits.slice(0, -1);
    draw();
  }

  function finish() {
    if (open && digits) placed(digits);
  }

  const keys = [..."1234567890"].map((digit) => key(digit, `Digit ${digit}`, () => put(digit)));
  const back = key("", "Take the last digit away", takeBack, "M30 12H16L4 24l12 12h28V12H30M22 18l12 12m0-12L22 30");
  back.classList.add("take-back");
  const done = key("", "That is my number", finish, "M8 26l11 11 21-26");
  done.classList.add("done");
  pad.append(...keys, back, done);

  return {
    // Begins anew with each question; `hands` tells whether it is the child's turn.
    show(number, hands) {
      if (question !== number) digits = "";
      question = number;
      open = hands;
      draw();
    },
    press(event) {
      if (/^\d$/.test(event.key)) put(event.key);
      else if (event.key === "Backspace") takeBack();
      else if (event.key === "Enter" && event.target === document.body) finish();
    },
  };
}

export function key(text, name, act, path) {
  const button = document.createElement("button");
  button.type = "button";
  button.setAttribute("aria-label", name);
  button.addEventListener("click", act);
  if (path) {
    const svg = document.createElementNS(SHORT, "svg");
    svg.setAttribute("viewBox", "0 0 48 48");
    svg.setAttribute("aria-hidden", "true");
    const line = document.createElementNS(SHORT, "path");
    line.setAttribute("d", path);
    svg.append(line);
    button.append(svg);
  } else {
    button.textContent = text;
  }
  return button;
}
