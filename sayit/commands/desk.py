"""``sayit desk``: the child's screen and the parent's desk in the browser."""

from argparse import ArgumentParser, Namespace
from itertools import count

from sayit.commands.arguments import Subparsers, whole_number


def browser_here() -> bool:
    """Whether a page that is opened now is seen by whoever started the program."""
    import os
    import sys
    import webbrowser

    far = any(os.environ.get(name) for name in ("SSH_CONNECTION", "SSH_TTY", "CI"))
    seen = sys.platform in ("darwin", "win32") or any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY"))
    if far or not seen:
        return False
    try:
        webbrowser.get()
    except webbrowser.Error:
        return False
    return True


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "desk",
        help="open the child's screen and the parent's desk in the browser (what sayit alone does where there is one)",
        description="Opens a page on this machine only: the parent's desk, and from there the child's screen.",
    )
    parser.add_argument(
        "--port", type=whole_number, default=0, metavar="PORT", help="where it answers (a free one if left out)"
    )
    parser.add_argument("--listener", metavar="NAME", help="a recogniser that `sayit models` lists")
    parser.add_argument("--no-browser", action="store_true", help="print the address and open nothing")
    return parser


def run(args: Namespace) -> int:
    from datetime import datetime

    from sayit import paths
    from sayit.commands.household import tidied
    from sayit.commands.output import print_json
    from sayit.errors import SayitError
    from sayit.hearing.loading import loading
    from sayit.page.one import knocked
    from sayit.page.server import serve
    from sayit.sitting.notes import notes_for

    if args.port > 65_535:
        raise SayitError(f"{args.port} is no port: give a number up to 65535, or leave --port out.")
    listener = loading(args.listener)
    if knocked(paths.record().parent):
        again = "sayit runs already: its desk is opened again, by the program that was started first."
        print_json({"event": "runs-already"}) if args.json else print(again)
        return 0

    with tidied(datetime.now().astimezone()) as record:
        notes = notes_for(record.children())

    times = count()

    def opened(address: str) -> None:
        first = not next(times)
        if args.json:
            print_json({"event": "open", "address": address})
        elif first:
            print(f"The parent's desk: {address}\nCtrl-C ends it. {' '.join(notes)}", flush=True)
        else:
            print(f"That address was used. For another browser: {address}", flush=True)

    def browse(address: str) -> None:
        import webbrowser

        webbrowser.open(address)

    try:
        serve(listener=listener, port=args.port, opened=opened, browse=None if args.no_browser else browse)
    except KeyboardInterrupt:
        raise KeyboardInterrupt("Each answer was kept before it was shown.") from None
    return 0
