"""``sayit restore``: a backup in the record's place."""

from argparse import ArgumentParser, Namespace

from sayit.commands.arguments import Subparsers, path


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "restore",
        help="put a backup in the record's place",
        description="Checks the backup, keeps the record of now beside it, then puts the backup in its place.",
    )
    parser.add_argument("source", metavar="FILE", type=path, help="what sayit backup wrote")
    return parser


def run(args: Namespace) -> int:
    import shlex
    from datetime import datetime

    from sayit import paths
    from sayit.commands.household import tidied
    from sayit.commands.output import print_json
    from sayit.errors import visible
    from sayit.store import restore

    now = datetime.now().astimezone()
    done = restore(args.source, at=now)
    kept = done.kept
    with tidied(now) as record:
        names = [child.name for child in record.children()]
    days = {child.name: child.keep_audio_days for child in done.consent}
    if args.json:
        print_json(
            {"record": str(paths.record()), "kept": kept and str(kept), "children": names, "keep_audio_days": days}
        )
        return 0
    print(f"Restored {visible(args.source)}: {', '.join(names) or 'no children yet'}.")
    if kept:
        print(f"The record from before is kept as {visible(kept)}, with its recordings: delete it when you are sure.")
    why = (
        "as the backup has it, for the record from before cannot be read" if done.unread else "the stricter of the two"
    )
    for name, kept_for in days.items():
        how = f"kept for {kept_for} {'day' if kept_for == 1 else 'days'}" if kept_for else "not kept"
        change = f"to change that: sayit children --child {shlex.quote(name)} --keep-audio DAYS"
        print(f"Recordings of {name} are {how}{f', {why}' if kept else ''}; {change}.")
    return 0
