"""``sayit practise``: a sitting with the child."""

from argparse import ArgumentParser, Namespace, RawDescriptionHelpFormatter
from typing import TYPE_CHECKING

from sayit.commands.arguments import Subparsers, forms, minutes, number_range, path, positive_whole, seconds, seed

if TYPE_CHECKING:
    from sayit.sitting.wishes import Wishes

_MORE = """
By itself it follows the plan: what is due, what is shaky, what comes next on
the path, and three closing questions. --form narrows the forms that are wanted.
--range and --questions ask freely instead: numbers of a range, said back or by
their other name, without a plan.

Keys: r right, w wrong, a again, s skip, q stop, g go on. Where digits are
wanted the child types them and presses Enter; of two numbers 1 or 2 is pressed.

--answers FOLDER takes recordings (WAV, FLAC, OGG) in place of the microphone.
The name of each says what was asked; questions come in the order of the names,
numbers by their size:
  45-explicit.wav         say back 45 by its tens name
  45-plain.wav            say back 45 by its everyday name
  45-explicit-other.wav   hear the everyday name, say the tens name
  45-explicit-2.wav       the second try, where the first one is not clear
"""


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "practise",
        aliases=["practice"],
        help="practise with the child in the terminal",
        description="Asks aloud, hears the child's answer, judges it and keeps it.",
        epilog=_MORE,
        formatter_class=RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "--child",
        action="append",
        metavar="NAME",
        help="name or nickname (the first child of the record if left out); given twice or three times they take turns",
    )
    parser.add_argument("--minutes", type=minutes, metavar="MINUTES", help="how long (10; with --place 5)")
    parser.add_argument("--place", action="store_true", help="find the child's place on the path, in five minutes")
    parser.add_argument(
        "--counts-to",
        type=positive_whole,
        metavar="NUMBER",
        help="with --place: how far the child counts, about; it begins easily for that (else for what sayit children noted, else for the age)",
    )
    parser.add_argument(
        "--step", metavar="STEP", help="at this step for this sitting only (sayit children --step list)"
    )
    parser.add_argument(
        "--questions", type=positive_whole, metavar="COUNT", help="ask freely; stop after so many questions"
    )
    parser.add_argument(
        "--form", type=forms, metavar="plain|explicit|both", help="the forms wanted (the child's own: sayit children)"
    )
    parser.add_argument("--range", type=number_range, metavar="LOW-HIGH", help="ask freely; the numbers asked (1-100)")
    parser.add_argument(
        "--quiet",
        type=seconds,
        metavar="SECONDS",
        help="the silence that ends an answer (1.2); more for a child who stops to think inside a number",
    )
    parser.add_argument(
        "--patience", type=seconds, metavar="SECONDS", help="how long to wait for an answer to begin (8)"
    )
    parser.add_argument("--seed", type=seed, help="ask the same questions again")
    parser.add_argument("--answers", type=path, metavar="FOLDER", help="recorded answers in place of the microphone")
    parser.add_argument("--listener", metavar="NAME", help="a recogniser that `sayit models` lists")
    parser.add_argument("--no-voice", action="store_true", help="show what to say instead of saying it")
    return parser


def run(args: Namespace) -> int:
    _refuse_mixtures(args)
    from sayit.commands.output import print_json
    from sayit.terminal.practice import Options, practise

    options = Options(
        answers=args.answers,
        listener=args.listener,
        quiet=args.quiet,
        patience=args.patience,
        voice=not args.no_voice,
        tell=print_json if args.json else None,
    )
    practise(args.child, _wishes(args), options)
    return 0


def _wishes(args: Namespace) -> "Wishes":
    from sayit.sitting.wishes import Free, Wishes

    free = args.range is not None or args.questions is not None
    return Wishes(
        minutes=args.minutes,
        questions=args.questions,
        placing=args.place,
        counts_to=args.counts_to,
        step=args.step,
        forms=args.form,
        free=Free(*args.range or (1, 100)) if free else None,
        seed=args.seed,
    )


def _refuse_mixtures(args: Namespace) -> None:
    from sayit.errors import SayitError
    from sayit.practice.turns import MOST_CHILDREN

    names = [name.strip().casefold() for name in args.child or ()]
    if len(names) > MOST_CHILDREN:
        raise SayitError(f"{len(names)} children are too many for one sitting: name at most {MOST_CHILDREN}.")
    if len(set(names)) < len(names):
        raise SayitError("The same child is named twice: name each --child once.")
    several = len(names) > 1
    led = [name for name, wanted in (("--place", args.place), ("--step", args.step)) if wanted]
    if several and led:
        raise SayitError(f"{led[0]} and several --child do not go together: leave one of them out.")
    if args.counts_to is not None and not args.place:
        raise SayitError("--counts-to tells where to begin looking: give --place too.")
    if len(led) > 1:
        raise SayitError(f"{led[0]} and {led[1]} do not go together: leave one of them out.")
    free = [f"--{name}" for name in ("answers", "range", "questions") if getattr(args, name) is not None]
    if led and free:
        raise SayitError(f"{led[0]} goes by the plan and {free[0]} does not: leave one of them out.")
    if args.answers is not None and several:
        raise SayitError("--answers and several --child do not go together: leave one of them out.")
