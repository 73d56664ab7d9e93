"""``sayit backup``: a copy of the record."""

from argparse import ArgumentParser, Namespace

from sayit.commands.arguments import Subparsers, path


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "backup",
        help="copy the record to a file",
        description="Copies the record, also while practice runs. Recordings of the child's voice are not copied.",
    )
    parser.add_argument("target", metavar="FILE", type=path, help="a new file, or a folder to make one in")
    return parser


def run(args: Namespace) -> int:
    from datetime import datetime

    from sayit.commands.household import tidied
    from sayit.commands.output import print_json
    from sayit.errors import visible
    from sayit.store import back_up

    now = datetime.now().astimezone()
    target = args.target
    if target.is_dir():
        target = target / f"sayit-{now:%Y-%m-%d-%H%M%S}.sqlite3"
    back_up(target)
    with tidied(now):
        pass
    if args.json:
        print_json({"backup": str(target), "bytes": target.stat().st_size})
    else:
        print(
            f"Backed up to {visible(target)}. It holds what your children said: keep it as safe as the record itself."
        )
    return 0
