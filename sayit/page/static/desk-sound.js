// The desk's own loudspeaker and microphone, for trials and recordings while the child's screen is not open.

import { openSound } from "/static/sound.js";

export function openDeskSound(line) {
  let listening = false;
  const sound = openSound({
    frame: (buffer) => { if (listening) line.frames(buffer); },
    lost: () => line.tell({ kind: "sound", state: "lost" }),
  });

  return {
    // Asks for something to be heard or said; what is needed for it is opened first, in the touch that asked for it.
    async ask(state, message, hears) {
      if (state.settings.sound === "browser" && state.parts.microphone.ok !== true) {
        try {
          const rate = await sound.open(hears, 3000);
          line.tell({ kind: "sound", ...(hears ? { state: "ready", rate } : { state: "speaks" }) });
          listening = hears;
        } catch {
          line.tell({ kind: "sound", state: "denied" });
        }
      }
      line.tell(message);
    },
    async play(number) {
      if (await sound.play(`/sound/${number}.wav`, () => {})) line.tell({ kind: "said", number });
    },
    deaf() {
      if (listening) sound.deaf();
      listening = false;
    },
  };
}
