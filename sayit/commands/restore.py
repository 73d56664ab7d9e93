"""``sayit restore``: a backup in the record's place."""

from argparse import ArgumentParser, Namespace
from pathlib import Path

from sayit.commands.arguments import Subparsers


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "restore",
        help="put a backup in the record's place",
        description="Checks the backup, keeps the record of now beside it, then puts the backup in its place.",
    )
    parser.add_argument("source", metavar="FILE", type=Path, help="what sayit backup wrote")
    return parser


def run(args: Namespace) -> int:
    from datetime import datetime

    from sayit import paths
    from sayit.commands.output import print_json
    from sayit.store import open_record, restore

    kept = restore(args.source, at=datetime.now().astimezone())
    with open_record() as record:
        names = [child.name for child in record.children()]
    if args.json:
        print_json({"record": str(paths.record()), "kept": kept and str(kept), "children": names})
        return 0
    print(f"Restored {args.source}: {', '.join(names) or 'no children yet'}.")
    if kept:
        print(f"The record from before is kept as {kept}: delete it when you are sure.")
    return 0
