"""From the end of the child's voice to the sign "I heard you" and to the verdict, in a headless Chromium.

    python -m tests.benchmarks.page_delay --answers 12

Recordings by a synthetic voice are played into the microphone's place of the real
page; the clock is the browser's own. The end of the voice is the last frame of
the microphone that is above -50 dBFS. The patience of the end rule (silence that
ends an answer) is part of each wait and is told as a figure of its own.
The peer in the same run is the recogniser called directly with the same recordings.
"""

import argparse
import shutil
import statistics
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path

from tests.page.conftest import ARGUMENTS, CHROMIUM, Household, Visit, _short_prompts
from tests.speech_data import speak

NUMBERS = (("forty-five", 45), ("fifty-four", 54), ("seventy-two", 72), ("ninety", 90), ("sixteen", 16), ("thirty-one", 31))

_CLOCK = """
window.times = {};
const Node = window.AudioWorkletNode;
window.AudioWorkletNode = class extends Node {
  constructor(...given) {
    super(...given);
    this.port.addEventListener("message", (event) => {
      let sum = 0;
      const samples = new Int16Array(event.data);
      for (const sample of samples) sum += sample * sample;
      if (10 * Math.log10(sum / samples.length / (32768 * 32768) + 1e-12) > -50) window.times.voice = performance.now();
    });
  }
};
addEventListener("DOMContentLoaded", () => new MutationObserver(() => {
  window.times[document.body.dataset.sign] ??= performance.now();
}).observe(document.body, { attributes: true, attributeFilter: ["data-sign"] }));
addEventListener("DOMContentLoaded", () => new MutationObserver(() => {
  window.times.verdict ??= performance.now();
}).observe(document.getElementById("digits"), { childList: true }));
"""


def percentile(values: list[float], share: float) -> float:
    ranked = sorted(values)
    return ranked[min(len(ranked) - 1, round(share * (len(ranked) - 1)))]


def row(name: str, values: list[float]) -> str:
    return f"{name:<58} {percentile(values, 0.5):7.2f} {percentile(values, 0.95):7.2f} {max(values):7.2f}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--answers", type=int, default=12)
    parser.add_argument("--quiet", type=float, default=1.2, help="seconds of silence that end an answer")
    args = parser.parse_args()
    from playwright.sync_api import sync_playwright

    from sayit.speech.audio import load
    from sayit.speech.listener import open_listener
    from sayit.store import open_record

    scratch = Path(tempfile.mkdtemp(prefix="sayit-page-delay-"))
    sounds = []
    for name, _ in NUMBERS:
        speak("flite rms", name, scratch / f"{name}.wav")
        sounds.append(load(scratch / f"{name}.wav"))
    with open_record(scratch / "record.sqlite3") as record:
        record.add_child("Pip", at=datetime.now(UTC))
    settings = {"child": "Pip", "low": 45, "high": 45, "forms": ["plain"], "ways": ["say-back"], "quiet": args.quiet, "patience": 30}
    home = Household(scratch, settings=settings, SAYIT_PROMPTS=str(_short_prompts(scratch / "prompts")))
    heard, verdict = [], []
    try:
        with sync_playwright() as running:
            browser = running.chromium.launch(executable_path=CHROMIUM, args=list(ARGUMENTS))
            page = Visit(browser, home, speaking=True)
            page.screen.add_init_script(_CLOCK)
            page.screen.reload()
            page.touch()
            page.desk.get_by_text("Ready (").wait_for(timeout=60_000)
            page.start()
            for count in range(1, args.answers + 1):
                page.sign("turn", 60)
                page.screen.evaluate("() => { window.times = {}; }")
                page.say(sounds[count % len(sounds)])
                page.heard(count, 60)
                # An answer that was not clear shows no number: it is left out of the figures.
                page.screen.wait_for_timeout(600)
                times = page.screen.evaluate("() => window.times")
                if "heard" in times and "voice" in times and "verdict" in times:
                    heard.append((times["heard"] - times["voice"]) / 1000)
                    verdict.append((times["verdict"] - times["voice"]) / 1000)
            browser.close()
    finally:
        home.close()
        shutil.rmtree(scratch)
    listener = open_listener()
    listener.hear(sounds[0])
    alone = []
    for samples in sounds * max(1, args.answers // len(sounds)):
        began = time.perf_counter()
        listener.hear(samples)
        alone.append(time.perf_counter() - began)
    print(f"{len(heard)} answers of {args.answers} timed; seconds                               p50     p95     max")
    print(row("end of voice to the sign", heard))
    print(row(f"  of which beyond the patience of {args.quiet:g} s", [value - args.quiet for value in heard]))
    print(row("end of voice to the verdict", verdict))
    print(row(f"  of which beyond the patience of {args.quiet:g} s", [value - args.quiet for value in verdict]))
    print(row("peer: the recogniser alone, called directly", alone))
    ratio = (statistics.median(verdict) - args.quiet) / statistics.median(alone)
    print(f"verdict beyond the patience: {ratio:.2f} times the recogniser alone")


if __name__ == "__main__":
    main()
