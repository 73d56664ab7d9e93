"""``sayit read``: the number that words name."""

from argparse import ArgumentParser, Namespace

from sayit.commands.arguments import Subparsers


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "read",
        help="tell which number some words name, and in which form",
        description="Reads number words as a person or a recogniser gives them.",
    )
    parser.add_argument("words", nargs="+", metavar="WORDS", help='such as "four ten five"')
    return parser


def run(args: Namespace) -> int:
    from sayit.commands.output import print_json
    from sayit.numbers import REASONS, form_in_words, read

    reading = read(" ".join(args.words))
    if args.json:
        print_json(
            {
                "words": reading.words,
                "value": reading.value,
                "form": reading.form,
                "reasons": list(reading.reasons),
            }
        )
        return 0
    value = "no number" if reading.value is None else f"{reading.value:,}"
    print(f"{value}  ({form_in_words(reading.form)})")
    for reason in reading.reasons:
        print(f"  {REASONS[reason].wording}")
    return 0
