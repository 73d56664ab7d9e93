"""``sayit practise``: a sitting with the child."""

import shlex
from argparse import ArgumentParser, Namespace, RawDescriptionHelpFormatter
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from sayit.commands.arguments import form, minutes, number_range, positive_whole, seconds

_MORE = """
By itself it follows the plan: what is due, what is shaky, what comes next on the path,
and three closing questions. --range, --form and --questions ask freely instead: numbers
of a range, said back or said by their other name, without a plan.

Keys: r right, w wrong, a again, s skip, q stop, g go on. Where digits are wanted the child
types them and presses Enter; of two numbers 1 or 2 is pressed.

--answers FOLDER takes recordings (WAV, FLAC, OGG) in place of the microphone.
The name of each says what was asked; questions come in the order of the names,
numbers by their size:
  45-explicit.wav         say back 45 by its tens name
  45-plain.wav            say back 45 by its everyday name
  45-explicit-other.wav   hear the everyday name, say the tens name
  45-explicit-2.wav       the second try, where the first one is not clear
"""

MINUTES = 10.0

PAUSE = 1.5
"""Seconds after a reply in which the parent can correct it before the next question."""

NAMELESS = "Child"
"""The name in the record until a parent gives one with --child."""

_BREAK = "A rest after a quarter of an hour."
_PERSONAL = "It is personal data: local law applies."
_PRACTICE = "This is practice, no assessment of hearing or speech: take a worry to a licensed practitioner."


def notes_for(children) -> tuple[str, ...]:
    """What a parent should know before a sitting of ``children``, whose recordings are kept or not."""
    recorded = [child for child in children if child.keep_audio_days]
    if not recorded:
        kept = "No recording of the child's voice is kept; what was answered is, on this machine only."
        return (f"{_BREAK} {kept} {_PERSONAL}", _PRACTICE)
    told = " ".join(
        f"Each answer of {child.name} is recorded and deleted after {child.keep_audio_days} "
        f"{'day' if child.keep_audio_days == 1 else 'days'}, as you turned on; off: sayit children --child "
        f"{shlex.quote(child.name)} --keep-audio 0."
        for child in recorded
    )
    return (f"{_BREAK} {told} Recordings and answers stay on this machine. {_PERSONAL}", _PRACTICE)


def add(subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "practise",
        help="practise with the child in the terminal",
        description="Asks aloud, hears the child's answer, judges it and keeps it.",
        epilog=_MORE,
        formatter_class=RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "--child",
        action="append",
        metavar="NAME",
        help="name or nickname (the first child of the record if left out); given twice or three times they take turns",
    )
    parser.add_argument("--minutes", type=minutes, metavar="MINUTES", help="how long (10; with --place 5)")
    parser.add_argument("--place", action="store_true", help="find the child's place on the path, in five minutes")
    parser.add_argument(
        "--step", metavar="STEP", help="at this step for this sitting only (sayit children --step list)"
    )
    parser.add_argument(
        "--questions", type=positive_whole, metavar="COUNT", help="ask freely; stop after so many questions"
    )
    parser.add_argument(
        "--form", type=_forms, metavar="plain|explicit|both", help="ask freely; the forms wanted (both)"
    )
    parser.add_argument("--range", type=number_range, metavar="LOW-HIGH", help="ask freely; the numbers asked (1-100)")
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

    from sayit.terminal.keys import open_keys

    with ExitStack() as stack:
        stack.enter_context(_terminated())
        return _practise(args, stack, stack.enter_context(open_keys()))


def _practise(args: Namespace, stack, keys) -> int:
    from datetime import UTC, datetime
    from random import Random, SystemRandom

    from rich.console import Console

    from sayit.commands.output import print_json
    from sayit.sitting.events import Notice
    from sayit.sitting.parent import NobodyThere
    from sayit.sitting.placing import take_placed_turn
    from sayit.sitting.sit import sit
    from sayit.sitting.speaker import Speaker
    from sayit.sitting.turn import Parts, Seat, take_turn
    from sayit.speaking.phrases import open_bank
    from sayit.speaking.playback import VOLUME_NOTE
    from sayit.store import open_record
    from sayit.terminal.lines import KEY_LINE, Lines
    from sayit.terminal.typed import KeyHands, KeyParent

    _refuse_mixtures(args)
    lines = Lines(Console(highlight=False, emoji=False), hands=keys is not None)
    stack.callback(lines.stage.clear)

    def report(event) -> None:
        print_json(event.to_dict()) if args.json else lines(event)

    def now() -> datetime:
        return datetime.now(UTC)

    def knows(question) -> bool:
        if question.way == "digits":
            return keys is not None
        return question.show is None or question.way == "choice" or (lines.stage.usable and not args.json)

    listener = _loading(args.listener)
    source = _source(args, stack, has_keys=keys is not None)
    if source.ears:
        # The recogniser loads while all else is made ready and the greeting is said.
        listener.start()
    record = stack.enter_context(open_record(source.record))
    seed = SystemRandom().randrange(2**31) if args.seed is None else args.seed
    here = datetime.now().astimezone()
    children = _children(record, [source.child] if source.child else args.child, now())
    guide = source.guide or _guide(args, record, children, here, seed, knows)
    bank, voice = open_bank(), _voice(args)

    def speaker(child: str) -> Speaker:
        return Speaker(bank, voice, random=Random(seed), report=report, child=child)

    if not args.json:
        notes = (VOLUME_NOTE, *notes_for(children)) if voice else notes_for(children)
        names = " and ".join(child.name for child in children)
        lines.opening(names, (*notes, f"Keys: {KEY_LINE}") if keys else notes)
    for kind, text in source.notices:
        report(Notice(kind, text))
    if voice.trouble:
        report(Notice("no-voice", voice.trouble))
    if args.place:
        report(Notice("placing", _PLACING))
    elif text := _unplaced(args, record, children, guide):
        report(Notice("unplaced", text))
    aims = _aims(guide)
    began = now()
    sessions = [
        record.start_session(child, at=began, source=source.name, seed=seed, aim=aim)
        for child, aim in zip(children, aims or [None] * len(children))
    ]
    seats = tuple(Seat(child.name, session, speaker(child.name)) for child, session in zip(children, sessions))
    alone = len(children) == 1 and children[0].name != NAMELESS
    parent = KeyParent(keys, present=source.waits) if keys else NobodyThere()
    parts = Parts(
        record=record,
        session=sessions[0],
        guide=guide,
        speaker=speaker(children[0].name if alone else ""),
        ears=source.ears,
        listener=listener,
        parent=parent,
        report=report,
        now=now,
        pause=PAUSE if keys else 0.0,
        seats=seats if len(seats) > 1 else (),
    )

    def take(parts, question, attempt, before):
        if keys and question.way != "spoken":
            return take_placed_turn(parts, KeyHands(parent, question, lines.stage.typed), question, attempt, before)
        return take_turn(parts, question, attempt, before)

    try:
        sit(parts, minutes=_length(args), questions=args.questions, reopen=source.reopen, take=take)
    except KeyboardInterrupt:
        if args.place:
            report(Notice("not-placed", _NOT_PLACED))
        raise
    if args.place:
        _settle(args, record, children[0], guide, began, report)
    if aims or args.place:
        _tomorrow(args, record, children, lines)
    return 0


_PLACING = (
    "The place on the path is looked for: some questions are far too easy and some too hard, and that is meant so."
)
_NOT_PLACED = (
    "The place is not sure yet, so nothing was changed. The answers are kept; ask again another day with --place."
)


def _refuse_mixtures(args: Namespace) -> None:
    from sayit.errors import SayitError
    from sayit.practice.turns import MOST_CHILDREN

    names = [name.strip().casefold() for name in args.child or ()]
    if len(names) > MOST_CHILDREN:
        raise SayitError(f"{len(names)} children are too many for one sitting: name at most {MOST_CHILDREN}.")
    if len(set(names)) < len(names):
        raise SayitError("The same child is named twice: name each --child once.")
    led = [
        name
        for name, wanted in (("--place", args.place), ("--step", args.step), ("several --child", len(names) > 1))
        if wanted
    ]
    free = [f"--{name}" for name in ("answers", "range", "form", "questions") if getattr(args, name) is not None]
    if len(led) > 1:
        raise SayitError(f"{led[0]} and {led[1]} do not go together: leave one of them out.")
    if led and free:
        raise SayitError(f"{led[0]} goes by the plan and {free[0]} does not: leave one of them out.")


def _free(args: Namespace) -> bool:
    return args.range is not None or args.form is not None or args.questions is not None


def _guide(args: Namespace, record, children, here, seed: int, knows):
    """What chooses the questions: the plan, or where the parent set a range, free asking."""
    from random import Random

    from sayit.practice.asking import Asking, draw
    from sayit.sitting.planned import lead_by_plan
    from sayit.store.learning import go_to, learner_of

    if _free(args):
        low, high = args.range or (1, 100)
        return Asking(draw(Random(seed), low=low, high=high, forms=args.form or ("plain", "explicit")))
    learners = [learner_of(record, child) for child in children]
    if args.step is not None:
        go_to(learners[0], args.step)
    return lead_by_plan(learners, here, seed=seed, minutes=_length(args), knows=knows, looking=args.place)


def _length(args: Namespace) -> float:
    from sayit.practice.placement import MINUTES as PLACE_MINUTES

    return args.minutes or (PLACE_MINUTES if args.place else MINUTES)


def _aims(guide) -> list[str]:
    from sayit.sitting.planned import Led

    return [aim.skill for aim in guide.aims()] if isinstance(guide, Led) else []


def _unplaced(args: Namespace, record, children, guide) -> str:
    """That the placement would help, where nothing is known of a child yet."""
    if args.step or not _aims(guide):
        return ""
    new = [child.name for child in children if not record.count_answers(child) and not record.placements(child)]
    if not new:
        return ""
    return (
        f"New here: {' and '.join(new)}. Practice begins at the first step of the path; sayit practise --place finds "
        "the right one in five minutes."
    )


def _settle(args: Namespace, record, child, guide, began, report) -> None:
    """Write the place that was found, if it is sure enough, and tell the parent."""
    from sayit.sitting.events import Notice

    if not guide.found:
        report(Notice("not-placed", _NOT_PLACED))
        return
    learner = guide.placement.learner
    step = learner.path[guide.placement.step]
    # From its first answer on, so that those answers count at the place found.
    skipped = tuple(slug for slug in learner.skipped if slug != step.slug)
    record.place(child, step.slug, at=began, limit=learner.limit, pace=learner.pace, skipped=skipped)
    text = (
        f"The place is found: {child.name} goes on at “{step.title}” ({step.aim}). "
        f"To choose another: sayit children --child {shlex.quote(child.name)} --step STEP."
    )
    report(Notice("placed", text))


def _tomorrow(args: Namespace, record, children, lines) -> None:
    from datetime import datetime

    from sayit.commands.output import print_json
    from sayit.practice.plan import plan_week
    from sayit.store.learning import learner_of

    for child in children:
        day = plan_week(learner_of(record, child), datetime.now().astimezone(), days=1).days[0]
        if args.json:
            print_json(
                {
                    "event": "tomorrow",
                    "child": child.name,
                    "aim": day.aim.sentence,
                    "why": day.why,
                    "lay_out": day.lay_out,
                }
            )
            continue
        whose = f", {child.name}" if len(children) > 1 else ""
        lines.told(f"Tomorrow{whose}: {day.aim.sentence} {day.why}", f"Lay out: {day.lay_out}")


@dataclass(slots=True)
class _Source:
    """Where the answers of this sitting come from, and all that depends on it.

    ``guide`` is None where the plan (or the parent's range) chooses. ``waits`` tells whether a sitting
    may wait for the parent; ``record`` and ``child`` are None for the household's own.
    """

    ears: object
    name: str
    guide: object = None
    waits: bool = True
    notices: tuple[tuple[str, str], ...] = ()
    record: Path | None = None
    child: str | None = None
    reopen: object = lambda: None


def _source(args: Namespace, stack, *, has_keys: bool) -> _Source:
    from sayit.errors import SayitError
    from sayit.hearing.capture import Microphone, MicrophoneLost
    from sayit.hearing.endpoint import EndRule
    from sayit.sitting.ears import MicrophoneEars

    rule = EndRule() if args.patience is None else EndRule(quiet=args.patience)
    if args.answers:
        return _recorded(args.answers, rule)

    def open_ears():
        return MicrophoneEars(stack.enter_context(Microphone()), rule)

    def reopen():
        try:
            return open_ears()
        except MicrophoneLost:
            return None

    try:
        return _Source(open_ears(), "microphone", reopen=reopen)
    except MicrophoneLost as lost:
        if has_keys:
            notice = ("no-microphone", f"{lost} Until then you judge by key what you hear.")
            return _Source(None, "keys", notices=(notice,), reopen=reopen)
        if args.place or args.step or len(args.child or ()) > 1:
            raise SayitError(f"{lost} Or start it in a terminal, where you can judge by key.") from lost
        return _demonstration(rule)


def _recorded(folder: Path, rule) -> _Source:
    from sayit.practice.asking import Asking
    from sayit.sitting.answers import RecordedEars, read_folder

    recorded = read_folder(folder)
    ears = RecordedEars(recorded, rule)
    guide = Asking(iter([entry.question for entry in recorded]), tries=ears.tries, returns=False)
    return _Source(ears, "recordings", guide, waits=False)


def _demonstration(rule) -> _Source:
    from sayit import paths
    from sayit.sitting.demo import CHILD, demo_answers

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
    from sayit.speaking.voice import open_voice

    voice = open_voice()
    if args.no_voice:
        voice.trouble = "The voice is off: what to say is on the screen."
    return voice


def _children(record, names: list[str] | None, now) -> list:
    if names is None:
        known = record.children()
        return [known[0] if known else record.add_child(NAMELESS, at=now)]
    return [record.child(name) or record.add_child(name, at=now) for name in names]


def _loading(name: str | None):
    from sayit.errors import SayitError
    from sayit.hearing.listener import listeners, open_listener
    from sayit.hearing.loading import Loading

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
