"""``sayit practise``: a sitting with the child."""

from argparse import ArgumentParser, Namespace, RawDescriptionHelpFormatter
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from sayit.commands.arguments import form, minutes, number_range, positive_whole, seconds

_ANSWERS = """
--answers FOLDER takes recordings (WAV, FLAC, OGG) in place of the microphone.
The name of each says what was asked; questions come in the order of the names,
numbers by their size:
  45-explicit.wav         say back 45 in tens form
  45-plain.wav            say back 45 in plain form
  45-explicit-other.wav   hear the plain name, say it in tens form
  45-explicit-2.wav       the second try, where the first one is not clear
"""

PAUSE = 1.5
"""Seconds after a reply in which the parent can correct it before the next question."""

NAMELESS = "Child"
"""The name in the record until a parent gives one with --child."""

NOTES = (
    "A rest after a quarter of an hour. No recording of the child's voice is kept; what was answered is, on this "
    "machine only. It is personal data: local law applies.",
    "This is practice, no assessment of hearing or speech: take a worry to a licensed practitioner.",
)


def add(subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "practise",
        help="practise with the child (what sayit alone does)",
        description="Says a number, hears the child's answer, judges it and keeps it.",
        epilog=_ANSWERS,
        formatter_class=RawDescriptionHelpFormatter,
    )
    parser.add_argument("--child", metavar="NAME", help="name or nickname (the first child of the record if left out)")
    parser.add_argument("--minutes", type=minutes, default=10.0, metavar="MINUTES", help="no new question after so many (10)")
    parser.add_argument("--questions", type=positive_whole, metavar="COUNT", help="stop after so many questions")
    parser.add_argument(
        "--form", type=_forms, default=("plain", "explicit"), metavar="plain|explicit|both", help="the forms wanted (both)"
    )
    parser.add_argument(
        "--range", type=number_range, default=(1, 100), metavar="LOW-HIGH", help="the numbers asked (1-100)"
    )
    parser.add_argument(
        "--patience",
        type=seconds,
        metavar="SECONDS",
        help="the silence that ends an answer (1.2); more for a child who stops to think inside a number",
    )
    parser.add_argument("--seed", type=int, help="ask the same questions again")
    parser.add_argument("--answers", type=Path, metavar="FOLDER", help="recorded answers in place of the microphone")
    parser.add_argument("--listener", metavar="NAME", help="a recogniser that `sayit models` lists")
    parser.add_argument("--no-voice", action="store_true", help="show what to say instead of saying it")
    return parser


def run(args: Namespace) -> int:
    from contextlib import ExitStack

    from sayit.loop.keys import open_keys

    with ExitStack() as stack:
        stack.enter_context(_terminated())
        return _practise(args, stack, stack.enter_context(open_keys()))


def _practise(args: Namespace, stack, keys) -> int:
    from datetime import UTC, datetime
    from random import Random, SystemRandom

    from rich.console import Console

    from sayit.commands.output import print_json
    from sayit.loop.events import Notice
    from sayit.loop.parent import NobodyThere
    from sayit.loop.sitting import sit
    from sayit.loop.speaking import Speaker
    from sayit.loop.terminal import KEY_LINE, KeyParent, Lines
    from sayit.loop.turn import Parts
    from sayit.speech.phrases import open_bank
    from sayit.speech.playback import VOLUME_NOTE
    from sayit.store import open_record

    lines = Lines(Console(highlight=False, emoji=False))

    def report(event) -> None:
        print_json(event.to_dict()) if args.json else lines(event)

    def now() -> datetime:
        return datetime.now(UTC)

    listener = _loading(args.listener)
    source = _source(args, stack, has_keys=keys is not None)
    if source.ears:
        # The recogniser loads while all else is made ready and the greeting is said.
        listener.start()
    record = stack.enter_context(open_record(source.record))
    seed = SystemRandom().randrange(2**31) if args.seed is None else args.seed
    child = _child(record, source.child or args.child, now())
    bank, voice = open_bank(), _voice(args)
    if not args.json:
        notes = (VOLUME_NOTE, *NOTES) if voice else NOTES
        lines.opening(child.name, (*notes, f"Keys: {KEY_LINE}") if keys else notes)
    for kind, text in source.notices:
        report(Notice(kind, text))
    if voice.trouble:
        report(Notice("no-voice", voice.trouble))
    parts = Parts(
        record=record,
        session=record.start_session(child, at=now(), source=source.name, seed=seed),
        guide=source.guide(Random(seed)),
        speaker=Speaker(bank, voice, random=Random(seed), report=report, child="" if child.name == NAMELESS else child.name),
        ears=source.ears,
        listener=listener,
        parent=KeyParent(keys, present=source.waits) if keys else NobodyThere(),
        report=report,
        now=now,
        pause=PAUSE if keys else 0.0,
    )
    sit(parts, minutes=args.minutes, questions=args.questions, reopen=source.reopen)
    return 0


@dataclass(slots=True)
class _Source:
    """Where the answers of this sitting come from, and all that depends on it.

    ``waits`` tells whether a sitting may wait for the parent; ``record`` and ``child``
    are None for the household's own.
    """

    ears: object
    guide: object
    name: str
    waits: bool = True
    notices: tuple[tuple[str, str], ...] = ()
    record: Path | None = None
    child: str | None = None
    reopen: object = lambda: None


def _source(args: Namespace, stack, *, has_keys: bool) -> _Source:
    from sayit.loop.ears import MicrophoneEars
    from sayit.practice.asking import Asking, draw
    from sayit.speech.capture import Microphone, MicrophoneLost
    from sayit.speech.endpoint import EndRule

    rule = EndRule() if args.patience is None else EndRule(quiet=args.patience)
    if args.answers:
        return _recorded(args.answers, rule)

    low, high = args.range

    def guide(random):
        return Asking(draw(random, low=low, high=high, forms=args.form))

    def open_ears():
        return MicrophoneEars(stack.enter_context(Microphone()), rule)

    def reopen():
        try:
            return open_ears()
        except MicrophoneLost:
            return None

    try:
        return _Source(open_ears(), guide, "microphone", reopen=reopen)
    except MicrophoneLost as lost:
        if has_keys:
            notice = ("no-microphone", f"{lost} Until then you judge by key what you hear.")
            return _Source(None, guide, "keys", notices=(notice,), reopen=reopen)
        return _demonstration(rule)


def _recorded(folder: Path, rule) -> _Source:
    from sayit.loop.answers import RecordedEars, read_folder
    from sayit.practice.asking import Asking

    recorded = read_folder(folder)
    ears = RecordedEars(recorded, rule)

    def guide(random):
        return Asking(iter([entry.question for entry in recorded]), tries=ears.tries, returns=False)

    return _Source(ears, guide, "recordings", waits=False)


def _demonstration(rule) -> _Source:
    from sayit import paths
    from sayit.loop.demo import CHILD, demo_answers

    folder = paths.data() / "demo"
    source = _recorded(demo_answers(folder), rule)
    source.record, source.child = folder / "record.sqlite3", CHILD
    source.notices = (
        (
            "demo",
            "There is neither a microphone nor a keyboard here, so this is a demonstration: recorded answers of "
            f"{CHILD}, an invented child, spoken by this machine's voice and kept apart from your record.",
        ),
    )
    return source


def _voice(args: Namespace):
    from sayit.speech.voice import open_voice

    voice = open_voice()
    if args.no_voice:
        voice.trouble = "The voice is off: what to say is on the screen."
    return voice


def _child(record, name: str | None, now):
    if name is None:
        known = record.children()
        return known[0] if known else record.add_child(NAMELESS, at=now)
    return record.child(name) or record.add_child(name, at=now)


def _loading(name: str | None):
    from sayit.errors import SayitError
    from sayit.loop.loading import Loading
    from sayit.speech.listener import listeners, open_listener

    if name is not None and name not in listeners():
        raise SayitError(f"No listener called {name!r}: choose one of {', '.join(listeners())}.")
    return Loading(lambda: open_listener(name))


def _forms(text: str) -> tuple[str, ...]:
    return ("plain", "explicit") if text == "both" else (form(text),)


@contextmanager
def _terminated():
    """A polite end on SIGTERM and SIGHUP too, so that the terminal gets its manners back."""
    import signal

    def leave(number, frame):
        raise SystemExit(128 + number)

    wanted = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
    before = {number: signal.signal(number, leave) for number in wanted}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
