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

    from sayit.commands.output import print_json
    from sayit.numbers import REASONS
    from sayit.practice.examples import ANSWERS
    from sayit.practice.path import load_path
    from sayit.speaking.phrases import open_bank

    path, bank = load_path(), open_bank()
    for slug in ANSWERS:
        rows = rows_of(path, bank, slug, Random(1))
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


def rows_of(path: Any, bank: Any, slug: str, random: Any) -> list[dict[str, str]]:
    """The fields of ``--json`` for each answer."""
    from sayit.numbers import explain
    from sayit.practice.examples import examples

    def spoken(phrases: Any) -> str:
        texts = (
            bank.choose(phrase.key, random, **{blank: named.words for blank, named in phrase.values}).text
            for phrase in phrases
        )
        return " ".join(text[:1].upper() + text[1:] for text in texts)

    found = []
    for one in examples(path, slug, random):
        asks = [spoken(move.say) for move in one.after.moves] if one.after else []
        if one.after and one.after.again:
            asks.append("the same again")
        found.append(
            {
                "asked": f"{spoken(one.question.say)} [{one.question.key}] {one.answer}",
                "parent": explain(one.judgement),
                "why": one.after.why if one.after else "",
                "child": spoken(one.says),
                "then": "; ".join(asks) or "other questions",
            }
        )
    return found
