"""``sayit plan``: what to do tomorrow and in the days after it."""

from argparse import ArgumentParser, Namespace

from sayit.commands.arguments import Subparsers, minutes, positive_whole
from sayit.commands.household import add_child


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "plan",
        help="what to do tomorrow and this week",
        description="Tells, day by day, what to practise and why, what to lay out and what to say.",
    )
    add_child(parser)
    parser.add_argument("--days", type=days, default=7, metavar="DAYS", help="for so many days (7)")
    parser.add_argument("--minutes", type=minutes, default=10.0, metavar="MINUTES", help="minutes a day (10)")
    return parser


def days(text: str) -> int:
    """One day to four weeks."""
    from sayit.errors import SayitError

    value = positive_whole(text)
    if value > 28:
        raise SayitError(f"{text} days are too far ahead: give a whole number from 1 to 28.")
    return value


def run(args: Namespace) -> int:
    from sayit.commands.household import household
    from sayit.commands.output import print_json, tell
    from sayit.practice.plan import plan_week
    from sayit.report import cards
    from sayit.store.learning import learner_of

    with household(args) as home:
        learner = learner_of(home.record, home.child, keep=not home.invented, now=home.now)
        plan = plan_week(learner, home.now, days=args.days, minutes=round(args.minutes) or 1)
    week = cards(plan)
    if args.json:
        for card in week:
            print_json({"child": home.child.name, "step": plan.step} | card.to_dict())
        return 0
    print(f"{home.child.name}{' (invented)' if home.invented else ''}: {plan.step}")
    if plan.note:
        tell(plan.note)
    for number, card in enumerate(week):
        print(f"\n{'Tomorrow, ' if not number else ''}{card.title}, {card.minutes} minutes")
        for label, text in (("", card.aim), ("", card.why), ("Lay out: ", card.lay_out), ("Say: ", card.say)):
            tell(label + text, "  ")
    return 0
