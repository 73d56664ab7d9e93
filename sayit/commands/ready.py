"""``sayit ready``: what works on this machine, what does not, and what to do."""

from argparse import ArgumentParser, Namespace
from collections.abc import Callable
from dataclasses import dataclass

from sayit.commands.arguments import Subparsers

NEEDED_MEGABYTES = 50


@dataclass(frozen=True, slots=True)
class Check:
    """One part: whether it works, what was found, and what to do ("" for nothing).

    Practice cannot run without a part that is ``needed``.
    """

    part: str
    works: bool
    found: str
    advice: str = ""
    needed: bool = False


def add(subparsers: Subparsers) -> ArgumentParser:
    return subparsers.add_parser(
        "ready",
        help="check microphone, voice, recogniser and disk",
        description="Tells what works, what does not and what to do. Exit status 0 when practice can run, else 1.",
    )


def run(args: Namespace) -> int:
    from dataclasses import asdict

    from sayit.commands.output import print_json, tell

    checks = []
    for part in (_microphone, _voice, _loudspeaker, _phrases, _own_voice, _recogniser, _disk):
        check = part()
        if check is None:
            continue
        checks.append(check)
        if args.json:
            print_json(asdict(check))
        else:
            print(f"{'ok' if check.works else '--':<3} {check.part:<12} {check.found}", flush=True)
            if check.advice:
                tell(check.advice, " " * 17)
    ready = all(check.works for check in checks if check.needed)
    if not args.json:
        print(_conclusion(ready, {check.part: check.works for check in checks}))
    return 0 if ready else 1


def _conclusion(ready: bool, works: dict[str, bool]) -> str:
    if not ready:
        return "Practice cannot run yet: see above."
    if works["microphone"] and works["recogniser"]:
        return (
            "Practice can run."
            if works["voice"] and works["loudspeaker"]
            else "Practice can run; you read the questions aloud."
        )
    return "Practice can run, but you judge by key what you hear."


def _microphone() -> Check:
    from itertools import islice

    import numpy as np

    from sayit.hearing.capture import Microphone, MicrophoneLost
    from sayit.sound.level import measure

    try:
        with Microphone() as microphone:
            sound = np.concatenate(list(islice(microphone.blocks(), 16)))
            name = microphone.name
    except MicrophoneLost as lost:
        return Check("microphone", False, "none that can be heard", str(lost))
    if measure(sound).verdict == "nothing":
        return Check("microphone", False, f"{name}, but no sound arrives", measure(sound).advice)
    return Check("microphone", True, name)


def _voice() -> Check:
    from sayit.speaking.voice import open_voice

    voice = open_voice(aloud=False)
    if voice.trouble:
        return Check("voice", False, "none", voice.trouble)
    return Check("voice", True, voice.name or "")


def _loudspeaker() -> Check:
    from sayit.speaking.playback import VOLUME_NOTE, NoLoudspeaker, loudspeaker

    try:
        return Check("loudspeaker", True, loudspeaker(), VOLUME_NOTE)
    except NoLoudspeaker as none:
        return Check("loudspeaker", False, "none that can be used", str(none))


def _phrases() -> Check:
    from sayit import paths
    from sayit.speaking.phrases import open_bank

    return _tried("phrases", lambda: f"{len(open_bank().wordings)} phrases in {paths.prompts()}", needed=True)


def _own_voice() -> Check | None:
    """What the parent recorded; None where that is nothing."""
    from sayit.errors import SayitError
    from sayit.numbers import NUMBER_WORDS
    from sayit.speaking.phrases import open_bank
    from sayit.speaking.recordings import open_recordings
    from sayit.speaking.voice import SPOKEN_RATE

    recordings = open_recordings(SPOKEN_RATE)
    if not recordings:
        return None
    missing = recordings.missing_words()
    try:
        slots = open_bank().slots()
    except SayitError:
        # Told with the phrases.
        slots = {}
    strays = recordings.strays(slots) if slots else ()
    phrases = len(recordings.phrase_names) - len(strays)
    words = f"{len(NUMBER_WORDS) - len(missing)} of {len(NUMBER_WORDS)} number words"
    found = f"{phrases} {'phrase' if phrases == 1 else 'phrases'} and {words} recorded"
    advice = [f"Record these words too, and numbers are said in your voice: {', '.join(missing)}."] if missing else []
    return Check("own voice", True, found, " ".join([*advice, *strays]))


def _recogniser() -> Check:
    from time import perf_counter

    import numpy as np

    from sayit.hearing.listener import open_listener

    def found() -> str:
        began = perf_counter()
        listener = open_listener()
        seconds = perf_counter() - began
        # Half a second of nothing: the weights are not only there, they also run.
        listener.hear(np.zeros(8_000, dtype=np.float32))
        return f"{listener.name}, loaded in {seconds:.1f} s"

    return _tried("recogniser", found)


def _disk() -> Check:
    import shutil
    from datetime import datetime

    from sayit.commands.household import tidied
    from sayit.errors import SayitError

    def found() -> str:
        with tidied(datetime.now().astimezone()) as record:
            free = shutil.disk_usage(record.path.parent).free / 1e6
            if free < NEEDED_MEGABYTES:
                raise SayitError(
                    f"Only {free:.0f} MB are free beside {record.path}: make room for {NEEDED_MEGABYTES} MB."
                )
            children = len(record.children())
            return f"{record.path}, {children} {'child' if children == 1 else 'children'}, {free / 1000:.1f} GB free"

    return _tried("record", found, needed=True)


def _tried(part: str, found: Callable[[], str], *, needed: bool = False) -> Check:
    from sayit.errors import SayitError

    try:
        return Check(part, True, found(), needed=needed)
    except SayitError as error:
        return Check(part, False, "cannot be used", str(error), needed=needed)
