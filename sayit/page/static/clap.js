// Claps by touch, beside those that the microphone hears: a while after the last one their count is told.

const TOLD_MS = 1500;

export function openClap({ clap, touched, placed }) {
  let claps = 0;
  let later = 0;
  clap.addEventListener("click", () => {
    claps += 1;
    if (claps === 1) touched();
    clap.classList.remove("pressed");
    requestAnimationFrame(() => clap.classList.add("pressed"));
    clearTimeout(later);
    later = setTimeout(() => {
      placed(String(claps));
      claps = 0;
    }, TOLD_MS);
  });
}
