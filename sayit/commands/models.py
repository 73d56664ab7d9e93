"""``sayit models``: the recognisers on this machine."""

from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import Any

from sayit.commands.arguments import Subparsers

WHISPER = "whisper"


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "models",
        help="list, check and install recognisers",
        description="Lists the recognisers. The embedded one needs no installing; others are Vosk folders and an extra.",
    )
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--check", metavar="NAME", help="load one, by name or folder, and say whether it works")
    what.add_argument("--install", metavar="SOURCE", help="a zip file, a folder or a public address (https)")
    parser.add_argument("--sha256", metavar="HEX", help="with --install: the checksum that the zip file must have")
    return parser


def run(args: Namespace) -> int:
    from sayit.errors import SayitError

    if args.sha256 and not args.install:
        raise SayitError("--sha256 belongs to --install: name the zip file too.")
    if args.install:
        return _install(args)
    if args.check:
        return _check(args)
    return _list(args)


def _list(args: Namespace) -> int:
    from sayit import paths
    from sayit.commands.output import print_json, tell
    from sayit.hearing.listener import DEFAULT, listeners
    from sayit.hearing.models import installed

    entries = [
        {
            "name": model.name,
            "path": str(model.path),
            "megabytes": round(model.megabytes, 1),
            "problem": model.problem,
        }
        for model in sorted(installed(), key=lambda model: model.name != DEFAULT)
    ]
    missing = "" if WHISPER in listeners() else "not installed: pip install 'sayit[whisper]'"
    entries.append({"name": WHISPER, "path": None, "megabytes": None, "problem": missing})
    for entry in entries:
        if args.json:
            print_json(entry)
            continue
        size = "" if entry["megabytes"] is None else f"  {entry['megabytes']} MB"
        print(f"{entry['name']:<24} {entry['problem'] or 'ready'}{size}  {entry['path'] or ''}".rstrip())
    if not args.json:
        tell(f"A folder for Vosk goes into {paths.models()}, or: sayit models --install SOURCE")
    return 0


def _check(args: Namespace) -> int:
    from time import perf_counter

    from sayit.errors import SayitError
    from sayit.hearing.listener import open_listener
    from sayit.hearing.models import check, installed

    name = args.check
    if name != WHISPER:
        folder = next((model.path for model in installed() if model.name == name), Path(name))
        if problem := check(folder):
            raise SayitError(f"{name} cannot be used ({problem}): `sayit models` lists those that can.")
        if all(model.name != name for model in installed()):
            found = {"name": name, "works": None, "load_seconds": None}
            _tell(args, found, f"{name} looks like a model for Vosk: `sayit models --install {name}` adds it.")
            return 0
    began = perf_counter()
    open_listener(name)
    seconds = round(perf_counter() - began, 2)
    _tell(args, {"name": name, "works": True, "load_seconds": seconds}, f"{name} works (loaded in {seconds} s).")
    return 0


def _install(args: Namespace) -> int:
    from rich.console import Console
    from rich.progress import BarColumn, DownloadColumn, Progress, TextColumn

    from sayit.hearing.models import install

    console = Console(stderr=True)
    bar = Progress(TextColumn("fetching"), BarColumn(), DownloadColumn(), console=console, transient=True)
    task = bar.add_task("fetching", total=None)

    def show(done: int, total: int | None) -> None:
        bar.start()
        bar.update(task, completed=done, total=total)

    try:
        model = install(args.install, sha256=args.sha256, progress=show if console.is_terminal else None)
    finally:
        if bar.live.is_started:
            bar.stop()
    entry = {"name": model.name, "path": str(model.path), "megabytes": round(model.megabytes, 1), "problem": ""}
    _tell(args, entry, f"Installed {model.name} ({entry['megabytes']} MB). Check it: sayit models --check {model.name}")
    return 0


def _tell(args: Namespace, entry: dict[str, Any], line: str) -> None:
    from sayit.commands.output import print_json

    print_json(entry) if args.json else print(line)
