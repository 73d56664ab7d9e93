"""``sayit say``: a number spoken, or written to a sound file."""

from argparse import ArgumentParser, Namespace

from sayit.commands.arguments import Subparsers, add_form, path, whole_number


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "say",
        help="say a number, or write it to a sound file",
        description="Says a number in the parent's recorded words, a voice that comes with sayit, or this machine's.",
    )
    parser.add_argument("number", type=whole_number, metavar="NUMBER", help="0 to 999,999")
    add_form(parser)
    parser.add_argument("--voice", metavar="NAME", help="British, American, System, or one of this machine's voices")
    parser.add_argument("--out", type=path, metavar="FILE", help="write WAV, FLAC or OGG instead of playing it")
    return parser


def run(args: Namespace) -> int:
    from sayit.commands.output import print_json
    from sayit.errors import SayitError, visible
    from sayit.numbers import name
    from sayit.speaking.utterance import number
    from sayit.speaking.voice import VoiceSettings, open_voice

    words = name(args.number, args.form)
    said = number(words)
    voice = open_voice(VoiceSettings(voice=args.voice), aloud=args.out is None)
    if args.out is not None:
        seconds = voice.save(said, args.out)
    elif voice and voice.say(said):
        seconds = voice.render(said).seconds
    else:
        raise SayitError(f"“{words}” was not said: {voice.trouble} A file can be written with --out FILE.wav.")
    if args.json:
        print_json(
            {
                "value": args.number,
                "form": args.form,
                "words": words,
                "file": None if args.out is None else str(args.out),
                "seconds": round(seconds, 3),
            }
        )
    else:
        print(words if args.out is None else f"{words}  ({seconds:.1f} s in {visible(args.out)})")
    return 0
