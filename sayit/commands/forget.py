"""``sayit forget``: delete all that is known of a child."""

import sys
from argparse import ArgumentParser, Namespace

from sayit.commands.arguments import Subparsers


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "forget",
        help="delete all of a child, recordings too",
        description="Deletes a child with every answer and recording. Backups and exports made before stay where they are.",
    )
    parser.add_argument("name", metavar="NAME", help="whose data to delete")
    parser.add_argument("--yes", action="store_true", help="delete without asking")
    return parser


def run(args: Namespace) -> int:
    from datetime import datetime

    from sayit.commands.household import child_called, tidied
    from sayit.commands.output import print_json
    from sayit.errors import visible
    from sayit.speaking.recordings import forget_name
    from sayit.store.copies import copies_with

    with tidied(datetime.now().astimezone()) as record:
        child = child_called(record, args.name)
        if not args.yes:
            _confirm(child.name)
        left = copies_with(record, child)
        forget_name(child.name)
        answers = record.forget(child)
    if args.json:
        print_json({"forgotten": child.name, "answers": answers, "copies": [str(path) for path in left]})
        return 0
    print(
        f"Forgotten: {child.name}, {answers:,} answers and all recordings. Backups, reports and exports are yours to delete."
    )
    for path in left:
        print(f"A copy of the record that still holds {child.name}: {visible(path)}")
    return 0


def _confirm(name: str) -> None:
    from sayit.errors import SayitError

    if not sys.stdin.isatty():
        raise SayitError(f"This deletes all of {name} for good: add --yes if you mean it.")
    print(f"This deletes all of {name} for good. Type the name to go on: ", end="", file=sys.stderr, flush=True)
    if sys.stdin.readline().strip().casefold() != name.casefold():
        raise SayitError(f"Nothing was deleted: the name typed was not {name}.")
