"""What a parent can lay out and say at the table: for each way of asking a few ideas, with a number of the day."""

from datetime import date
from random import Random

from sayit.numbers import name
from sayit.practice.activities import number_for
from sayit.practice.key import split_ask
from sayit.practice.path import Step

_SLIPS = "Paper slips with the digits 0 to 9."
_STRAWS = "Bundles of ten straws and loose ones."

IDEAS: dict[str, tuple[tuple[str, str], ...]] = {
    "glimpse": (
        ("Some buttons and a cloth.", "Uncover {number} buttons for one second. “How many did you see?”"),
        ("A plate, some nuts and a lid.", "Lift the lid from {number} nuts for one second. “How many?”"),
    ),
    "which-more": (
        ("Nothing; ask while you walk.", "“{number} or {next}: which is more?” Then let the child ask you."),
        ("Two slips of paper.", "Write {number} and {next}. “Which is more?”"),
    ),
    "next-door:next": (
        ("Nothing; ask on the stairs.", "“{number}, and then?” One step up for each answer."),
        ("A ball.", "Roll it with “{number}”; it comes back with the number after."),
    ),
    "next-door:before": (
        ("Nothing; ask on the stairs.", "“What comes just before {number}?” One step down for each answer."),
        ("A ball.", "Roll it with “{number}”; it comes back with the number just before."),
    ),
    "next-door:ten-more": (
        (_STRAWS, "Say “{number}”. Lay one more bundle. “Ten more: what is it now?”"),
        ("Some ten-cent coins, or ten buttons tied together.", "“{number}, and ten more. What is that?”"),
    ),
    "next-door:ten-less": (
        (_STRAWS, "Say “{number}”. Take a bundle away. “Ten less: what is it now?”"),
        ("Some ten-cent coins, or ten buttons tied together.", "“{number}, take ten away. What is that?”"),
    ),
    "to-ten": (
        ("Both your hands.", "Hold up {number} fingers. “How many more to ten?”"),
        ("Ten buttons in a row.", "Cover all but {number}. “How many are hiding?”"),
    ),
    "other-way:explicit": (
        (_STRAWS, "“{number}. What is its tens name?” Then lay it and see."),
        ("Nothing; ask while you cook.", "“{number}. How do we say that in tens?”"),
    ),
    "other-way:plain": (
        (_STRAWS, "“{tens}. What do we say every day?” Then lay it and see."),
        ("Nothing; ask while you cook.", "“{tens}. And its everyday name?”"),
    ),
    "build": (
        (_SLIPS, "Say “{number}” once. The child lays its digits."),
        ("A tray with flour or sand.", "Say “{number}”. The child writes it with a finger."),
    ),
    "read-out": (
        ("A pencil and some paper.", "Write {number}. “Which number is this?”"),
        (_SLIPS, "Lay {number} digit by digit, cover it, lift. “What did you see?”"),
    ),
    "tens-in:tens": (
        (_STRAWS, "“How many tens are in {number}?” Lay them and see."),
        ("Some ten-cent coins.", "“{number} cents: how many of these?”"),
    ),
    "tens-in:hundreds": (
        ("Slips that say 100.", "“How many hundreds are in {number}?” Lay them and see."),
        ("Nothing; ask on the way.", "“{number}: how many hundreds is that?”"),
    ),
    "places": (
        (_SLIPS, "“{number}. Tell me its digits, one by one.” Then lay them and see."),
        ("Nothing; ask on the way.", "Take turns: one says “{number}”, the other its digits."),
    ),
    "claps": (
        ("Your hands.", "Clap “{tens}” together. “How many claps?”"),
        ("Two spoons and a pot.", "Beat “{tens}” on the pot. “How many beats?”"),
    ),
}
"""By a way of asking, or by its activity: (lay out, say)."""


def idea(step: Step, ask: str, turn: int, day: date) -> tuple[str, str]:
    """What to lay out and say for a way of asking on that day; ``turn`` counts its step's days before it in the plan.

    The step's own idea comes first. The same day gives the same number.
    """
    ideas = IDEAS.get(ask) or IDEAS.get(split_ask(ask)[0], ())
    number = number_for(step, ask, Random(day.toordinal()))
    if not turn or not ideas or number is None:
        return step.lay_out, step.say
    lay_out, say = ideas[(turn - 1) % len(ideas)]
    return lay_out, say.format(number=f"{number:,}", next=f"{number + 1:,}", tens=name(number, "explicit"))
