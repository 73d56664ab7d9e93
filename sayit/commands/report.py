"""``sayit report``: how a child's practice goes, as a page and on paper."""

from argparse import ArgumentParser, Namespace

from sayit.commands.arguments import Subparsers, positive_whole
from sayit.commands.household import add_child, add_out


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "report",
        help="how a child's practice goes: a page and a PDF",
        description="Writes NAME-report.html, which needs nothing else, and NAME-report.pdf: one A4 page.",
    )
    add_child(parser)
    add_out(parser)
    parser.add_argument("--weeks", type=weeks, default=12, metavar="WEEKS", help="the last so many weeks (12)")
    return parser


def weeks(text: str) -> int:
    """From one week to ten years of them."""
    from sayit.errors import SayitError

    value = positive_whole(text)
    if value > 520:
        raise SayitError(f"{text} weeks are too many: give a whole number from 1 to 520.")
    return value


def run(args: Namespace) -> int:
    from sayit.commands.household import household
    from sayit.commands.papers import put
    from sayit.report import figures_of, report_paper
    from sayit.report.paper import folder
    from sayit.report.words import lead

    with household(args) as home:
        place = folder(args.out)
        figures = figures_of(home.record, home.child, weeks=args.weeks, now=home.now)
        entry = figures.to_dict() | {"invented": home.invented}
        return put(
            args,
            place,
            home.child,
            {"report": report_paper(figures, invented=home.invented)},
            entry=entry,
            lines=lead(figures),
        )
