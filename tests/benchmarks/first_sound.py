"""From the request of a sentence to its first sample at the loudspeaker's door, and the memory that a voice takes.

    python -m tests.benchmarks.first_sound --voice British --rate 110

Nothing is played: what is counted ends where the samples are handed to PortAudio, and ``open`` is what opening the
loudspeaker takes, where this machine has one.  Clips are read anew for each sentence (``new``) or are still held (``held``).
``cpu`` is this process's own time, which other programs leave alone.
"""

import argparse
import random
import resource
import statistics
import time

from sayit.numbers import name
from sayit.speaking.phrases import open_bank
from sayit.speaking.playback import NoLoudspeaker, play
from sayit.speaking.voice import SPOKEN_RATE, VoiceSettings, open_voice

KEYS = ("ask.say-back", "ask.other-way-plain", "reply.model", "reply.yes")


def told(what: str, spans: list[tuple[float, float]]) -> None:
    wall, cpu = ([1_000 * span[i] for span in spans] for i in (0, 1))
    print(
        f"{what:8} {len(wall):3} times: wall median {statistics.median(wall):5.1f} ms, longest {max(wall):5.1f}; "
        f"cpu median {statistics.median(cpu):5.1f}, longest {max(cpu):5.1f}"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--voice", default="British")
    parser.add_argument("--rate", type=int, default=130)
    parser.add_argument("--count", type=int, default=60)
    args = parser.parse_args()
    rng = random.Random(7)
    bank = open_bank()
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    began = time.perf_counter(), time.process_time()
    voice = open_voice(VoiceSettings(voice=args.voice, rate=args.rate), aloud=False)
    told("ready", [(time.perf_counter() - began[0], time.process_time() - began[1])])
    spans: dict[str, list[tuple[float, float]]] = {"first": [], "new": [], "held": []}
    for place in range(args.count):
        value = rng.randrange(10, 10 ** rng.choice((2, 3, 4)))
        said = bank.choose(rng.choice(KEYS), rng, number=name(value, rng.choice(("plain", "explicit"))))
        for kind in ("new" if place else "first", "held"):
            began = time.perf_counter(), time.process_time()
            spoken = voice.render(said)
            spans[kind].append((time.perf_counter() - began[0], time.process_time() - began[1]))
    for kind, found in spans.items():
        told(kind, found)
    try:
        began = time.perf_counter(), time.process_time()
        play(spoken.samples[:1], SPOKEN_RATE)
        told("open", [(time.perf_counter() - began[0], time.process_time() - began[1])])
    except NoLoudspeaker as none:
        print(none)
    print(f"memory: {(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024:.1f} MB more at most")


if __name__ == "__main__":
    main()
