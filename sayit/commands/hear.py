"""``sayit hear``: the number said in a recording."""

import sys
from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sayit.commands.arguments import Subparsers

if TYPE_CHECKING:
    from sayit.hearing.heard import Heard


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "hear",
        help="tell which number is said in a recording",
        description="Hears recordings (WAV, FLAC or OGG at any rate) through the listener.",
    )
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE", help="a recording of one answer")
    parser.add_argument("--listener", metavar="NAME", help="a recogniser that `sayit models` lists")
    return parser


def run(args: Namespace) -> int:
    """Files that cannot be read are told one by one; the others are heard all the same."""
    from sayit.commands.output import print_json
    from sayit.errors import SayitError, visible
    from sayit.hearing.heard import LONGEST_SECONDS
    from sayit.hearing.listener import open_listener
    from sayit.numbers import form_in_words
    from sayit.sound.audio import load

    status, listener = 0, None
    for file in args.files:
        try:
            samples = load(file, longest=LONGEST_SECONDS)
        except SayitError as error:
            print(f"sayit: {visible(error)}", file=sys.stderr, flush=True)
            status = 2
            continue
        listener = listener or open_listener(args.listener)
        heard = listener.hear(samples)
        entry = described(file, heard)
        if args.json:
            print_json(entry)
        elif entry["value"] is None and not entry["words"]:
            print(f"{visible(file)}: no number", flush=True)
        else:
            number = entry["digits"] or ("no number" if entry["value"] is None else f"{entry['value']:,}")
            doubt = "" if heard.clear else ", not clear"
            print(
                f"{visible(file)}: {number}  “{entry['words']}”, {form_in_words(entry['form'])}, "
                f"{entry['confidence']:.0%}{doubt}",
                flush=True,
            )
    return status


def described(file: Path, heard: "Heard") -> dict[str, Any]:
    """The fields of ``--json``."""
    from sayit.numbers import read

    reading = read(heard.words)
    return {
        "file": str(file),
        "words": heard.words,
        "value": reading.value,
        "digits": reading.digits,
        "form": reading.form,
        "confidence": round(heard.confidence, 4),
        "clear": heard.clear,
        "alternatives": [{"words": one.words, "score": round(one.score, 4)} for one in heard.alternatives],
        "listener": heard.listener,
        "audio_seconds": round(heard.audio_seconds, 3),
        "work_seconds": round(heard.work_seconds, 3),
    }
