"""``sayit export``: all answers as a table, and a dated log."""

from argparse import ArgumentParser, Namespace
from datetime import date

from sayit.commands.arguments import Subparsers
from sayit.commands.household import add_child, add_out


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "export",
        help="all answers as CSV, and a dated practice log",
        description=(
            "Writes NAME-answers.csv with every answer, and NAME-log.html and .pdf: a dated log for a home-education "
            "record. What such a record must hold differs from place to place."
        ),
    )
    add_child(parser)
    add_out(parser)
    parser.add_argument("--since", type=day, metavar="DATE", help="from this day on, such as 2026-01-31 (all)")
    return parser


def day(text: str) -> date:
    """A date written as year-month-day."""
    from sayit.errors import SayitError

    try:
        return date.fromisoformat(text)
    except ValueError:
        raise SayitError(f"{text!r} is no date: write it as year-month-day, such as 2026-01-31.") from None


def run(args: Namespace) -> int:
    from sayit.commands.household import household
    from sayit.commands.papers import put
    from sayit.errors import SayitError
    from sayit.report import entries_of
    from sayit.report.figures import require_answers
    from sayit.report.log import NOTE, log_paper
    from sayit.report.paper import folder
    from sayit.report.table import answers_csv

    with household(args) as home:
        place = folder(args.out)
        answers = home.record.answers(child=home.child)
        require_answers(home.child, len(answers))
        zone = home.now.tzinfo
        if args.since:
            answers = tuple(answer for answer in answers if answer.judged_at.astimezone(zone).date() >= args.since)
            if not answers:
                raise SayitError(
                    f"{home.child.name} has no answers since {args.since}: give an earlier day with --since."
                )
        log = entries_of(home.record, home.child, answers, home.now)
        return put(
            args,
            place,
            home.child,
            {"log": log_paper(home.child, log, now=home.now, invented=home.invented)},
            files={"answers.csv": answers_csv(home.child, answers, zone)},
            entry={
                "child": home.child.name,
                "answers": len(answers),
                "days": [entry.to_dict() for entry in log],
                "note": NOTE,
            },
            lines=(f"{len(answers):,} answers on {len(log)} days. {NOTE}",),
        )
