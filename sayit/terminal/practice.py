"""A sitting in the terminal, from the first line to tomorrow's plan."""

import shlex
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from types import FrameType
from typing import Any

from rich.console import Console

from sayit import paths
from sayit.errors import SayitError
from sayit.hearing.endpoint import EndRule
from sayit.hearing.loading import Loading, loading
from sayit.practice.plan import plan_week
from sayit.practice.question import Question
from sayit.sitting.clock import elapsed
from sayit.sitting.devices import PAUSE_SECONDS, Devices, end_rule, voice_settings
from sayit.sitting.events import Event, Judged, Notice, Opened
from sayit.sitting.found import Found, found_by, settle
from sayit.sitting.notes import notes_for
from sayit.sitting.parent import NobodyThere
from sayit.sitting.setup import NAMELESS, set_up
from sayit.sitting.sit import sit
from sayit.sitting.table import Table
from sayit.sitting.wishes import Wishes
from sayit.speaking.playback import VOLUME_NOTE
from sayit.speaking.voice import open_voice
from sayit.store import Child, Record, open_record
from sayit.store.learning import learner_of
from sayit.store.settings import Settings, settings_of
from sayit.terminal.keys import Keys, open_keys
from sayit.terminal.lines import KEY_LINE, Lines
from sayit.terminal.origin import Origin, origin_here, recorded_origin
from sayit.terminal.typed import KeyHands, KeyParent

__all__ = ["Options", "practise"]

_PLACING = (
    "The place on the path is looked for: some questions are far too easy and some too hard, and that is meant so."
)
_NOT_PLACED = (
    "The place is not sure yet, so nothing was changed. The answers are kept; ask again another day with --place."
)


@dataclass(frozen=True, slots=True)
class Options:
    """What only the terminal is told: recorded ``answers`` in place of the microphone, a ``listener`` by name, ``quiet`` and
    ``patience`` in seconds (None: the household's own), no ``voice``, and where to ``tell`` events as plain values instead of
    showing them.
    """

    answers: Path | None = None
    listener: str | None = None
    quiet: float | None = None
    patience: float | None = None
    voice: bool = True
    tell: Callable[[dict[str, Any]], None] | None = None


def practise(names: Sequence[str] | None, wishes: Wishes, options: Options) -> None:
    """Play a sitting of the children ``names`` (None: the first of the record)."""
    with ExitStack() as stack:
        stack.enter_context(_terminated())
        _Practice(names, wishes, options, stack, stack.enter_context(open_keys())).run()


class _Practice:
    def __init__(
        self, names: Sequence[str] | None, wishes: Wishes, options: Options, stack: ExitStack, keys: Keys | None
    ) -> None:
        self._names = names
        self._wishes = wishes
        self._options = options
        self._stack = stack
        self._keys = keys
        self._now = _now
        self._judged = 0
        self._seconds = elapsed
        self._lines = Lines(Console(highlight=False, emoji=False), hands=keys is not None)
        stack.callback(self._lines.stage.clear)

    def run(self) -> None:
        listener = loading(self._options.listener)
        source = self._source()
        if source.ears:
            # The recogniser loads while all else is made ready and the greeting is said.
            listener.start()
        record = self._stack.enter_context(open_record(source.record))
        children = self._children(record, source)
        settings = settings_of(record)
        self._lines.use_and = settings.use_and
        devices = self._devices(source, listener, settings)
        self._open(source, devices, children)
        wishes = replace(self._wishes, given=source.given) if source.given else self._wishes
        if text := _unplaced(record, children, wishes):
            self._report(Notice("unplaced", text))
        table = set_up(record, children, wishes, devices, report=self._report, now=self._now, seconds=self._seconds)
        try:
            sit(table)
        except KeyboardInterrupt as stop:
            if wishes.placing:
                self._report(Notice("not-placed", _NOT_PLACED))
            raise KeyboardInterrupt(str(stop) or self._what_is_kept(table)) from None
        if found := found_by(table):
            self._settle(record, found)
        if wishes.placing or table.guide.results():
            self._tomorrow(table)

    def _source(self) -> Origin:
        if self._options.answers:
            return recorded_origin(self._options.answers, self._rule(Settings()))
        needs_child = self._wishes.placing or self._wishes.step is not None or len(self._names or ()) > 1
        return origin_here(
            self._rule(_household()), self._stack, has_keys=self._keys is not None, needs_child=needs_child
        )

    def _rule(self, settings: Settings) -> EndRule:
        return end_rule(settings, quiet=self._options.quiet, patience=self._options.patience)

    def _children(self, record: Record, source: Origin) -> list[Child]:
        names = [source.child] if source.child else self._names
        if names is None:
            known = record.children()
            return [known[0] if known else record.add_child(NAMELESS, at=self._now())]
        return [record.child(name) or record.add_child(name, at=self._now()) for name in names]

    def _devices(self, source: Origin, listener: Loading, settings: Settings) -> Devices:
        voice = open_voice(voice_settings(settings))
        if not self._options.voice:
            voice.trouble = "The voice is off: what to say is on the screen."
        keys = KeyParent(self._keys, present=source.waits) if self._keys else None
        return Devices(
            voice=voice,
            listener=listener,
            parent=keys or NobodyThere(),
            ears=source.ears,
            hands=KeyHands(keys, self._lines.stage.typed) if keys else None,
            source=source.name,
            pause=PAUSE_SECONDS if keys else 0.0,
            reopen=source.reopen,
            can_ask=self._can_ask,
        )

    def _can_ask(self, question: Question) -> bool:
        if question.way == "digits":
            return self._keys is not None
        seen = self._lines.stage.usable and self._options.tell is None
        return question.show is None or question.way == "choice" or seen

    def _open(self, source: Origin, devices: Devices, children: Sequence[Child]) -> None:
        if self._options.tell is None:
            notes = (VOLUME_NOTE, *notes_for(children)) if devices.voice else notes_for(children)
            names = " and ".join(child.name for child in children)
            self._lines.opening(names, (*notes, f"Keys: {KEY_LINE}") if self._keys else notes)
        for kind, text in source.notices:
            self._report(Notice(kind, text))
        if devices.voice.trouble:
            self._report(Notice("no-voice", devices.voice.trouble))
        if self._wishes.placing:
            self._report(Notice("placing", _PLACING))

    def _settle(self, record: Record, found: Found) -> None:
        """Write the place that was found, if it is sure enough, and tell the parent."""
        if not found.sure:
            self._report(Notice("not-placed", _NOT_PLACED))
            return
        settle(record, found)
        text = (
            f"The place is found: {found.child.name} goes on at “{found.title}” ({found.aim}). "
            f"To choose another: sayit children --child {shlex.quote(found.child.name)} --step STEP."
        )
        self._report(Notice("placed", text))

    def _tomorrow(self, table: Table) -> None:
        for seat in table.seats:
            name = seat.child.name
            now = self._now().astimezone()
            day = plan_week(learner_of(table.record, seat.child, now=now), now, days=1).days[0]
            if tell := self._options.tell:
                told = {"aim": day.aim.sentence, "why": day.why, "lay_out": day.lay_out}
                tell({"event": "tomorrow", "child": name} | told)
                continue
            whose = f", {name}" if len(table.seats) > 1 else ""
            self._lines.told(f"Tomorrow{whose}: {day.aim.sentence} {day.why}", f"Lay out: {day.lay_out}")

    def _what_is_kept(self, table: Table) -> str:
        """What became of the answers that were judged, after a look into the record."""
        try:
            kept = sum(len(table.record.answers(session=seat.session)) for seat in table.seats)
        except SayitError as error:
            return str(error)
        if kept < self._judged:
            return "The answers of this sitting were deleted from the record while it went on."
        return "Every answer that was judged is kept."

    def _report(self, event: Event) -> None:
        self._judged += isinstance(event, Judged)
        if (tell := self._options.tell) is None:
            self._lines(event)
        elif not isinstance(event, Opened):
            tell(event.to_dict())


def _unplaced(record: Record, children: Sequence[Child], wishes: Wishes) -> str:
    """That the placement would help, where nothing is known of a child yet."""
    if wishes.step or wishes.placing or not wishes.planned:
        return ""
    new = [child.name for child in children if not record.count_answers(child) and not record.placements(child)]
    if not new:
        return ""
    return (
        f"New here: {' and '.join(new)}. Practice begins at the first step of the path; sayit practise --place finds "
        "the right one in five minutes."
    )


def _now() -> datetime:
    return datetime.now(UTC)


def _household() -> Settings:
    """The household's settings; the usual ones before there is a record (a demonstration makes none)."""
    if not paths.record().exists():
        return Settings()
    with open_record() as record:
        return settings_of(record)


@contextmanager
def _terminated() -> Iterator[None]:
    """A polite end on SIGTERM and SIGHUP too, so that the terminal gets its manners back."""
    import signal

    def leave(number: int, frame: FrameType | None) -> None:
        raise SystemExit(128 + number)

    wanted = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
    before = {number: signal.signal(number, leave) for number in wanted}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
