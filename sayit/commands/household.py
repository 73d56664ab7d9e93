"""``sayit household``; and the household's record for commands that read it: which child, which moment, the invented year."""

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import TYPE_CHECKING

from sayit.commands.arguments import Subparsers, path

if TYPE_CHECKING:
    from sayit.store import Child, Record

DEMO_UNTIL = date(2026, 6, 30)
"""The invented year ends here, so that it is the same on every day."""


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "household",
        help="set how the household says numbers, and in which voice",
        description="Without options it tells what holds. Other settings of the household are at the desk.",
    )
    parser.add_argument(
        "--and",
        dest="use_and",
        choices=("yes", "no"),
        help="say and print three hundred and two, or three hundred two; either is right in an answer",
    )
    parser.add_argument(
        "--voice", metavar="NAME", help="who speaks: British, American, System, or one of this machine's voices"
    )
    return parser


def run(args: Namespace) -> int:
    from sayit.commands.output import print_json
    from sayit.numbers import name
    from sayit.store.settings import changed, keep_settings, settings_of

    wanted: dict[str, object] = {"use_and": args.use_and == "yes"} if args.use_and else {}
    if args.voice is not None:
        wanted["voice"] = _voice(args.voice)
    with tidied(datetime.now().astimezone()) as record:
        settings = settings_of(record)
        if wanted:
            settings = changed(settings, wanted)
            keep_settings(record, settings)
    if args.json:
        print_json({"and": settings.use_and, "voice": settings.voice})
    else:
        print(f"Numbers are said and printed as “{name(302, use_and=settings.use_and)}”; either is right in an answer.")
        print(f"The voice: {settings.voice or 'the usual one'}.")
    return 0


def _voice(wanted: str) -> str:
    """The name of the voice that is called so; ``SayitError`` where there is none."""
    from sayit.errors import SayitError
    from sayit.speaking.voices import english_voices

    found = english_voices()
    for name in found:
        if name.lower() == wanted.strip().lower():
            return name
    raise SayitError(f"--voice: there is no English voice called {wanted!r}: choose one of {', '.join(found)}.")


@dataclass(frozen=True, slots=True)
class Household:
    """The open ``record``, the ``child`` asked for, the moment ``now`` (in the local zone), and whether it is ``invented``."""

    record: "Record"
    child: "Child"
    now: datetime
    invented: bool


def add_child(parser: ArgumentParser, *, demo: bool = True) -> None:
    """``--child`` and ``--demo``."""
    parser.add_argument("--child", metavar="NAME", help="whose (may be left out where there is one child)")
    if demo:
        parser.add_argument(
            "--demo", action="store_true", help="an invented year of the invented children Pip and Wren"
        )


def add_out(parser: ArgumentParser) -> None:
    """``--out``."""
    parser.add_argument("--out", type=path, default=Path(), metavar="FOLDER", help="where to write (this folder)")


@contextmanager
def tidied(now: datetime) -> "Iterator[Record]":
    """The household's record; recordings past their days go first, whatever it is opened for."""
    from sayit.store import delete_expired, open_record

    with open_record() as record:
        delete_expired(record, now)
        yield record


@contextmanager
def household(args: Namespace) -> Iterator[Household]:
    """Open the record and find the child; ``SayitError`` for one who is not in it."""
    if getattr(args, "demo", False):
        with _invented(args) as found:
            yield found
        return
    now = datetime.now().astimezone()
    with tidied(now) as record:
        yield Household(record, child_called(record, args.child), now, False)


def child_called(record: "Record", name: str | None) -> "Child":
    """The child of that name, or the only one; ``SayitError`` otherwise."""
    from sayit.errors import SayitError

    children = record.children()
    names = ", ".join(child.name for child in children)
    if not children:
        raise SayitError("The record is empty: practise first (sayit practise --child NAME).")
    if name is None:
        if len(children) > 1:
            raise SayitError(f"Whose? Name one with --child: {names}.")
        return children[0]
    if child := record.child(name):
        return child
    raise SayitError(f"There is no child called {name!r} in the record: choose one of {names}.")


@contextmanager
def _invented(args: Namespace) -> Iterator[Household]:
    from tempfile import TemporaryDirectory

    from sayit.commands.output import wait
    from sayit.report.demo_year import fill
    from sayit.store import open_record

    with (
        TemporaryDirectory(prefix="sayit-demo-") as place,
        open_record(Path(place) / "record.sqlite3", durable=False) as record,
    ):
        wait("The invented year is being practised; this takes a while.")
        children = fill(record, DEMO_UNTIL, UTC)
        now = datetime.combine(DEMO_UNTIL, time(20), UTC)
        yield Household(record, child_called(record, args.child or children[0].name), now, True)
