"""``sayit reasons``: for each reason what a child may have said, what the parent reads, what the child hears, what follows."""

from argparse import ArgumentParser, Namespace
from typing import Any

from sayit.commands.arguments import Subparsers


def add(subparsers: Subparsers) -> ArgumentParser:
    return subparsers.add_parser(
        "reasons",
        help="show each reason for a missed answer with three answers and what follows",
        description="For each reason three answers: what you read of it, what the child hears, what comes next.",
    )


def run(args: Namespace) -> int:
    from random import Random

    from sayit import paths
    from sayit.commands.output import print_json
    from sayit.numbers import REASONS
    from sayit.practice.examples import ANSWERS
    from sayit.practice.path import load_path
    from sayit.speaking.phrases import open_bank
    from sayit.store import open_record
    from sayit.store.settings import settings_of

    path, bank = load_path(), open_bank()
    use_and = False
    # Looking something up begins no record.
    if paths.record().exists():
        with open_record() as record:
            use_and = settings_of(record).use_and
    for slug in ANSWERS:
        rows = rows_of(path, bank, slug, Random(1), use_and=use_and)
        if args.json:
            print_json({"reason": slug, "class": REASONS[slug].error_class, "answers": rows})
            continue
        print(f"{REASONS[slug].title} ({slug}, {REASONS[slug].error_class})")
        for row in rows:
            print(f"  asked  {row['asked']}")
            print(f"  parent {row['parent']} {row['why']}".rstrip())
            print(f"  child  {row['child']}")
            print(f"  then   {row['then']}")
            print()
    return 0


def rows_of(path: Any, bank: Any, slug: str, random: Any, *, use_and: bool) -> list[dict[str, str]]:
    """The fields of ``--json`` for each answer."""
    import re

    from sayit.numbers import explain
    from sayit.practice.examples import examples

    def spoken(phrases: Any) -> str:
        text = " ".join(
            bank.choose(
                phrase.key, random, **{blank: named.said(use_and=use_and) for blank, named in phrase.values}
            ).text
            for phrase in phrases
        )
        return re.sub(r"(?:^|[.!?] )[a-z]", lambda begins: begins[0].upper(), text)

    found = []
    for one in examples(path, slug, random):
        asks = [spoken(move.say) for move in one.after.moves] if one.after else []
        if one.after and one.after.again:
            asks.append("the same again")
        found.append(
            {
                "asked": f"{spoken(one.question.say)} [{one.question.key}] {one.answer}",
                "parent": explain(one.judgement, use_and=use_and),
                "why": one.after.why if one.after else "",
                "child": spoken(one.says),
                "then": "; ".join(asks) or "other questions",
            }
        )
    return found
