"""``sayit children``: who is in the record, and what holds for each."""

from argparse import ArgumentParser, Namespace
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from sayit.commands.arguments import Subparsers, forms, whole_number

if TYPE_CHECKING:
    from sayit.store import Child, Record


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "children",
        help="list, add and set up children",
        description=(
            "Without options it lists the children. Recordings of a voice are personal data: they are off unless you "
            "turn them on for a child with --keep-audio, and are deleted at the next use of sayit after so many days."
        ),
    )
    who = parser.add_mutually_exclusive_group()
    who.add_argument("--add", metavar="NAME", help="add a child; a nickname will do")
    who.add_argument("--child", metavar="NAME", help="whose settings to change")
    parser.add_argument("--birth-month", metavar="YYYY-MM", help="may be left out; none takes it out again")
    parser.add_argument(
        "--counts-to",
        type=whole_number,
        metavar="NUMBER",
        help="how far the child counts, about: the search for its place begins easily for that (0: you do not know)",
    )
    parser.add_argument(
        "--keep-audio",
        type=whole_number,
        metavar="DAYS",
        help="keep recordings for so many days; 0 for none (and deletes them)",
    )
    parser.add_argument(
        "--step",
        metavar="STEP",
        help="where on the path the child goes on (one done before is done again); list shows the steps",
    )
    parser.add_argument(
        "--skip", action="append", metavar="STEP", help="pass over this step (may be repeated; none takes it back)"
    )
    parser.add_argument(
        "--pace", type=float, metavar="FACTOR", help="stretch every time limit: 1.5 is half as much again"
    )
    parser.add_argument("--limit", type=whole_number, metavar="NUMBER", help="the largest number asked (9,999)")
    parser.add_argument(
        "--forms", type=forms, metavar="plain|explicit|both", help="the forms wanted from the child (both)"
    )
    return parser


def run(args: Namespace) -> int:
    from datetime import datetime

    from sayit.commands.household import child_called, tidied
    from sayit.errors import SayitError
    from sayit.practice.learner import Learner
    from sayit.practice.path import load_path
    from sayit.store import Child
    from sayit.store.arrangement import arrange, checked
    from sayit.store.checks import check_month

    now = datetime.now().astimezone()
    if args.step == "list":
        return _steps(args)
    wanted, month = _wanted(args), None if args.birth_month == "none" else args.birth_month
    if args.add is None and args.child is None and (wanted or args.birth_month is not None):
        raise SayitError("Whose? Name the child with --child (or --add for a new one).")
    with tidied(now) as record:
        if args.add is None and args.child is None:
            for child in record.children():
                _tell(args, record, child)
            if not args.json and not record.children():
                print("Nobody yet: sayit children --add NAME, or just sayit practise --child NAME.")
            return 0
        check_month(month)
        if args.add is not None:
            # Refused before the child is in the record.
            checked(Child(0, args.add, month, now), Learner(step=load_path().slugs[0]), wanted)
            child = record.add_child(args.add, at=now, birth_month=month)
        else:
            child = child_called(record, args.child)
        if wanted:
            arrange(record, child, wanted, now)
        if args.add is None and args.birth_month is not None:
            record.set_birth_month(child, month)
        _tell(args, record, child_called(record, child.name))
    return 0


def _wanted(args: Namespace) -> dict[str, Any]:
    """The settings that were given, as :func:`sayit.store.arrangement.arrange` takes them."""
    skipped = None if args.skip is None else [one for one in args.skip if one != "none"]
    given = {
        "step": args.step,
        "skipped": skipped,
        "pace": args.pace,
        "limit": args.limit,
        "audio_days": args.keep_audio,
        "forms": args.forms,
        "counts_to": args.counts_to,
    }
    return {key: value for key, value in given.items() if value is not None}


def _tell(args: Namespace, record: "Record", child: "Child") -> None:
    from datetime import datetime

    from sayit.commands.output import print_json, tell
    from sayit.numbers import FORMS, form_in_words
    from sayit.store.learning import learner_of

    learner = learner_of(record, child, now=datetime.now().astimezone())
    step = learner.path[learner.step]
    if args.json:
        entry = asdict(child)
        del entry["id"]
        entry["created"] = child.created.isoformat()
        placed = {
            "step": learner.step,
            "pace": learner.pace,
            "limit": learner.path.limit,
            "skipped": list(learner.skipped),
        }
        print_json(entry | placed | {"answers": learner.answers})
        return
    audio = f"recordings kept for {child.keep_audio_days} days" if child.keep_audio_days else "no recordings kept"
    born = f", born {child.birth_month}" if child.birth_month else ""
    counts = f", counts to about {child.counts_to:,}" if child.counts_to else ""
    wanted = "" if child.forms == FORMS else f", {form_in_words(child.forms[0])}s only"
    over = f", passes over {', '.join(learner.skipped)}" if learner.skipped else ""
    tell(
        f"{child.name}{born}{counts}: at {step.title} ({step.slug}){over}{wanted}, {learner.answers:,} answers, {audio}",
        hanging="  ",
    )


def _steps(args: Namespace) -> int:
    from sayit.commands.output import print_json
    from sayit.practice.path import load_path

    for step in load_path(args.limit):
        print_json({"step": step.slug, "title": step.title}) if args.json else print(f"{step.slug:<24}{step.title}")
    return 0
