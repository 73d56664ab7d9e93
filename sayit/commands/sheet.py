"""``sayit sheet``: a page for practice away from the screen."""

from argparse import ArgumentParser, Namespace
from datetime import datetime
from typing import TYPE_CHECKING

from sayit.commands.arguments import Subparsers, seed
from sayit.commands.household import add_child, add_out

if TYPE_CHECKING:
    from sayit.practice.path import Path
    from sayit.store import Child


def add(subparsers: Subparsers) -> ArgumentParser:
    parser = subparsers.add_parser(
        "sheet",
        help="a printable page for practice away from the screen",
        description="Writes a page of tasks for the child's step, with the answers on a page of their own, as HTML and PDF.",
    )
    add_child(parser)
    add_out(parser)
    parser.add_argument("--step", metavar="STEP", help="this step instead of the child's (sayit children --step list)")
    parser.add_argument("--seed", type=seed, metavar="NUMBER", help="the same sheet again (another one each day)")
    return parser


def run(args: Namespace) -> int:
    from sayit.commands.household import household
    from sayit.practice.path import load_path
    from sayit.report.sheet import require_step
    from sayit.store.learning import learner_of
    from sayit.store.settings import settings_of

    if args.step and not args.child and not args.demo:
        # A sheet for a step needs no record.
        path = load_path()
        return _put(args, path, require_step(path, args.step), datetime.now().astimezone())
    with household(args) as home:
        learner = learner_of(home.record, home.child, keep=not home.invented, now=home.now)
        step = require_step(learner.path, args.step) if args.step else learner.step
        return _put(args, learner.path, step, home.now, home.child, use_and=settings_of(home.record).use_and)


def _put(
    args: Namespace, path: "Path", step: str, now: datetime, child: "Child | None" = None, *, use_and: bool = False
) -> int:
    from sayit.commands.papers import put
    from sayit.report.paper import folder
    from sayit.report.sheet import seed_of, sheet_paper

    place = folder(args.out)
    number = seed_of(now) if args.seed is None else args.seed
    name = child.name if child else ""
    page = sheet_paper(path, step, seed=number, now=now, child=name, use_and=use_and)
    entry = {"child": name or None, "step": step, "seed": number}
    lines = (f"{path[step].title}, sheet {number}.",)
    return put(args, place, child, {f"{step}-sheet": page}, entry=entry, lines=lines)
