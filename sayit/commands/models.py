"""``sayit models``: the recognisers on this machine."""

from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import Any

from sayit.commands.arguments import Subparsers

WHISPER = "whisper"
_SAID = 45


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "models",
        help="list, check and install recognisers",
        description="Lists the recognisers. The embedded one needs no installing; others are Vosk folders and an extra.",
    )
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--check", metavar="NAME", help="let one, by name or folder, hear a number")
    what.add_argument("--install", metavar="SOURCE", help="a zip file, a folder or a public address (https)")
    parser.add_argument("--sha256", metavar="HEX", help="with --install: the checksum that the zip file must have")
    return parser


def run(args: Namespace) -> int:
    from sayit.errors import SayitError

    if args.sha256 is not None and args.install is None:
        raise SayitError("--sha256 belongs to --install: name the zip file too.")
    if args.install is not None:
        return _install(args)
    if args.check is not None:
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
    import tempfile

    from sayit.errors import SayitError
    from sayit.hearing.models import check, installed
    from sayit.hearing.trial import try_listener
    from sayit.numbers import read

    name = args.check
    folder = None
    if name != WHISPER:
        known = next((model.path for model in installed() if model.name == name), None)
        folder = known or Path(name)
        if problem := check(folder):
            raise SayitError(f"{name!r} cannot be used ({problem}): `sayit models` lists those that can.")
    with tempfile.TemporaryDirectory() as scratch:
        spoken = _sound(Path(scratch) / "said.wav")
        trial = try_listener(name, folder, Path(scratch) / "said.wav")
    works = read(trial.heard).value == _SAID if spoken else None
    said = {True: "works", False: "does not understand", None: "hears, but no voice is here to try it with"}[works]
    heard = "" if works is None else f", and heard “{trial.heard}” where “forty-five” was said"
    entry = {"name": name, "works": works, "load_seconds": trial.load_seconds, "heard": trial.heard}
    add = "" if name == WHISPER or known else f" `sayit models --install {name}` adds it."
    _tell(args, entry, f"{name} {said} (loaded in {trial.load_seconds} s{heard}).{add}")
    return 0


def _sound(path: Path) -> bool:
    """Write "forty-five" to a sound file, said by this machine's voice; without one noise, and False."""
    import numpy as np

    from sayit.errors import SayitError
    from sayit.numbers import name
    from sayit.sound.audio import RATE, save
    from sayit.speaking.utterance import number
    from sayit.speaking.voice import VoiceSettings, open_voice

    try:
        open_voice(VoiceSettings(volume=1.0), aloud=False).save(number(name(_SAID)), path)
    except SayitError:
        save(np.random.default_rng(1).normal(0, 0.05, 2 * RATE).astype(np.float32), path)
        return False
    return True


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
