// A backup in the record's place: the file goes to sayit on this machine and nowhere else.

import { part, text } from "/static/drawing.js";

export function openRestore() {
  part("restore").addEventListener("submit", async () => {
    const [file] = part("backup").files;
    const button = part("restore").querySelector("button");
    button.disabled = true;
    text("restored", "It is being looked at \u2026");
    try {
      const answer = await fetch("/restore", { method: "POST", body: file });
      const { told, refused } = await answer.json();
      text("restored", told || refused);
    } catch {
      text("restored", "The file could not be sent: nothing was changed. Choose it again.");
    } finally {
      // Whoever wants it once more chooses and ticks once more.
      part("restore").reset();
      button.disabled = false;
    }
  });
}
