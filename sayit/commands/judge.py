"""``sayit judge``: an answer in words against what was asked."""

from argparse import ArgumentParser, Namespace

from sayit.commands.arguments import Subparsers, add_form, whole_number


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "judge",
        help="judge an answer in words against the number asked",
        description="Judges value and form of an answer, with the reasons.",
    )
    parser.add_argument("--asked", type=whole_number, required=True, metavar="NUMBER", help="the number asked")
    add_form(parser)
    parser.add_argument("words", nargs="+", metavar="WORDS", help='the answer, such as "fifty four"')
    return parser


def run(args: Namespace) -> int:
    from sayit.commands.output import print_json
    from sayit.numbers import explain, judge

    judgement = judge(args.asked, args.form, " ".join(args.words))
    if args.json:
        print_json(
            {
                "asked": judgement.asked,
                "form": judgement.form,
                "heard": judgement.heard,
                "value": judgement.value,
                "verdict": judgement.verdict,
                "reasons": list(judgement.reasons),
            }
        )
        return 0
    print(f"{judgement.verdict}: {explain(judgement)}")
    return 0
