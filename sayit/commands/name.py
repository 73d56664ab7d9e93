"""``sayit name``: the names of a number."""

from argparse import ArgumentParser, Namespace
from typing import Any

from sayit.commands.arguments import Subparsers, whole_number


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "name",
        help="say the everyday name and the tens name of a number",
        description="The everyday name (plain) and the tens name (explicit) of numbers, with their syllables.",
    )
    parser.add_argument("numbers", nargs="+", type=whole_number, metavar="NUMBER", help="0 to 999,999")
    return parser


def run(args: Namespace) -> int:
    from sayit.commands.output import print_json

    for number in args.numbers:
        entry = names(number)
        if args.json:
            print_json(entry)
        else:
            print(f"{number:,}")
            for form in ("plain", "explicit"):
                parts = entry["syllables"][form]
                print(f"  {form:<9} {entry[form]}   ({len(parts)}: {' · '.join(parts)})")
    return 0


def names(number: int) -> dict[str, Any]:
    """The fields of ``--json``: ``digits`` is how many digits, ``syllables`` a list for each form."""
    from sayit.numbers import name, syllables

    plain, explicit = name(number, "plain"), name(number, "explicit")
    return {
        "value": number,
        "plain": plain,
        "explicit": explicit,
        "digits": len(str(number)),
        "syllables": {"plain": list(syllables(plain)), "explicit": list(syllables(explicit))},
    }
