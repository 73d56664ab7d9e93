"""All that a sitting wants said has words in the phrase bank, and no question says its own answer.

What a number's digits are called is checked against num2words.
"""

import re
from collections import Counter
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random

import pytest
from num2words import num2words

from sayit.numbers import VOCABULARY, name
from sayit.practice.activities import asks, judge_answer, make_question, number_for
from sayit.practice.followups import NEXT_STEPS, follow_up
from sayit.practice.learner import Learner
from sayit.practice.path import load_path
from sayit.practice.phrases import PHRASES
from sayit.practice.placement import lead_placement
from sayit.practice.question import Named, Response, said
from sayit.practice.replies import model, once_more, reply
from sayit.practice.session import lead_one
from sayit.practice.turns import lead_turns
from sayit.sitting.speaker import Speaker
from sayit.speaking.phrases import KEYS, open_bank
from tests.practice.test_session import chancy, play, right

NOW = datetime(2026, 3, 2, 16, tzinfo=UTC)
BANK = open_bank(Path(__file__).parents[2] / "prompts" / "en.toml")
PATH = load_path(999_999)
SLUGS = load_path().slugs
KINDS = [(step, ask) for step in PATH for ask in asks(step)]


class _Silent:
    """A voice that cannot be heard, so that what is said can be read."""

    trouble = "silent"
    natural = False

    def __bool__(self):
        return False


class Told:
    """A speaker whose phrases are counted and checked as they are said."""

    def __init__(self, child=""):
        self.keys = Counter()
        self._speaker = Speaker(BANK, _Silent(), random=Random(1), report=lambda event: None, child=child)

    def __call__(self, phrases):
        for phrase in phrases:
            words = self._speaker.say((phrase,))
            assert words.strip() and not re.search(r"[{}…]", words), (phrase, words)
            self.keys[phrase.key] += 1


@pytest.mark.parametrize("natural", [False, True])
def test_a_natural_voice_says_a_name_only_where_it_must_be_heard(natural):
    voice = _Silent()
    voice.natural = natural
    speaker = Speaker(BANK, voice, random=Random(1), report=lambda event: None, child="Wren")
    hellos = " ".join(speaker.say((said("session.hello"),)) for _ in range(20))
    assert ("Wren" in hellos) is not natural
    assert "Wren" in speaker.say((said("your-turn"),))


def in_every_verdict(question):
    """Answers right, in the other form, wrong and unclear, from a child, and from a parent's keys."""
    value, other = question.value, question.value + 1 if question.value != 1 else 3
    digits = " ".join(num2words(int(digit)) for digit in str(value))
    yield from (Response(verdict="right"), Response(verdict="wrong"))
    yield from (
        Response(),
        Response(words="", response_seconds=1.0),
        Response(words="biscuit", response_seconds=1.0),
        Response(digits="?"),
    )
    for number in (value, other, *question.about):
        for seconds in (None, 0.5, 60.0):
            yield Response(words=name(number), digits=str(number), choice=number, response_seconds=seconds)
        yield Response(words=name(number, "explicit"), digits=str(number) + "0", choice=min(question.about))
    yield Response(words=digits, digits=digits)
    yield Response(words=name(value), sure=False)


@pytest.mark.parametrize(("step", "ask"), KINDS, ids=[f"{step.slug}/{ask}" for step, ask in KINDS])
def test_every_kind_of_question_and_every_reply_has_words(step, ask):
    tell, verdicts = Told("Pip"), set()
    for seed in range(4):
        random = Random(seed)
        question = make_question(step, ask, number_for(step, ask, random), random)
        tell(question.say)
        for answer in in_every_verdict(question):
            judgement = judge_answer(question, answer)
            verdicts.add(judgement.verdict)
            tell((once_more(answer), model(question)))
            if judgement.verdict != "unclear":
                tell(reply(question, judgement, "fluent" if judgement.verdict == "right" else "missed"))
        for reason in NEXT_STEPS:
            found = follow_up(PATH, question, (reason,), random)
            tell(found.say)
            for move in found.moves:
                tell(move.say)
    assert {"right", "wrong", "unclear"} <= verdicts


def steady(seed, chance):
    """A child who does not tire: right with that chance, else near, zeros lost, turned round or digit by digit."""
    random = Random(seed)

    def answer(question, _):
        if random.random() < chance:
            return right(question)
        value, digits = question.value, str(question.value)
        near = random.choice(
            (value + 1, value + 10, int(digits[::-1]), int(digits.replace("0", "") or 0), value * 10 + 7)
        )
        told = " ".join(num2words(int(digit)) for digit in digits)
        words = random.choice((name(near), name(value, random.choice(("plain", "explicit"))), told))
        return Response(words=words, digits=str(near), choice=random.choice(question.about), response_seconds=1.0)

    return answer


def test_whole_sittings_have_words_for_all_that_they_say():
    """Children of all sorts at every step, and every question and every answer of theirs."""
    tell, sittings = Told(), 0
    for slug in SLUGS:
        for child in (chancy(1, 0.3), chancy(2, 0.9), steady(3, 0.7), steady(4, 0.8), steady(5, 0.9), steady(6, 1.0)):
            session = lead_one(Learner(step=slug), NOW, seed=sittings, minutes=10)
            for question, outcome in play(session, child, now=NOW):
                tell((*question.say, *outcome.reply))
            sittings += 1
    practice = {key for key in PHRASES if key.startswith(("ask.", "closing.", "reply.", "follow.", "teach."))}
    assert set(tell.keys) <= practice and sum(tell.keys.values()) > 3_000
    # Which slips come up is chance, and hundreds and the digits after claps are hardly ever asked for; all have their words in the test above.
    asked = {key for key in practice if key.startswith(("ask.", "closing."))}
    assert asked - {"ask.hundreds-in", "ask.claps-digits"} <= set(tell.keys)


def test_a_placement_and_a_sitting_of_several_have_words_too():
    tell = Told("Wren")
    random, now = Random(5), NOW
    placement = lead_placement(Learner(step="to-five"), NOW, seed=1)
    while question := placement.next_question(now):
        tell((*question.say, *placement.take(Response(verdict=random.choice(("right", "wrong"))), now).reply))
        now += timedelta(seconds=8)
    sitting = lead_turns([Learner(step="teens"), Learner(step="hundreds")], NOW, seed=1, minutes=5)
    now = NOW
    while question := sitting.next_question(now):
        tell((said("your-turn"), *question.say))
        tell(sitting.take(Response(verdict=random.choice(("right", "wrong"))), now).reply)
        now += timedelta(seconds=8)
    assert tell.keys["your-turn"] > 5


def test_the_child_is_called_by_its_own_name():
    called = Speaker(BANK, _Silent(), random=Random(3), report=lambda event: None, child="Wren")
    words = {called.say((said("your-turn"),)) for _ in range(40)}
    assert any("Wren" in said_ for said_ in words)


def test_digits_are_said_one_by_one():
    """The names of the digits as num2words has them."""
    speaker = Speaker(BANK, _Silent(), random=Random(1), report=lambda event: None)
    words = speaker.say((said("reply.other-form-digits", number=Named(8_006, "digits")),))
    assert " ".join(num2words(int(digit)) for digit in "8006") in words


_TEXT = re.compile(r"\{[a-z]+\}")
_SAID = ("say-back", "which-more", "build")
"""To be said after, to choose from, or to be put into digits: here the number itself must be said."""


@pytest.mark.parametrize("key", [key for key in KEYS if key.startswith("ask.")])
def test_no_question_has_a_number_in_its_own_words(key):
    """Only the ten that is reached, added or taken away stands in a question's wording."""
    may = {"ask.to-ten": {"ten"}, "ask.ten-more": {"ten"}, "ask.ten-less": {"ten"}}.get(key, set())
    # "its tens name", "how many hundreds" and "which one" name no number.
    for wording in BANK.wordings[key]:
        found = set(re.findall(r"[a-z]+", _TEXT.sub(" ", wording.lower()))) & (set(VOCABULARY) - {"one", "and", "a"})
        assert found <= may, wording


@pytest.mark.parametrize(("step", "ask"), [(step, ask) for step, ask in KINDS if not ask.startswith(_SAID)])
def test_no_question_says_its_own_answer(step, ask):
    """The name that is wanted is not among the numbers that a question says."""
    for seed in range(40):
        random = Random(seed)
        question = make_question(step, ask, number_for(step, ask, random), random)
        told = [named.words for phrase in question.say for _, named in phrase.values]
        form = "plain" if question.form == "any" else question.form
        if question.ask == "to-ten" and question.value == 5:
            continue  # five and five
        assert Named(question.value, form).words not in told, question.key
        if question.activity == "other-way":
            assert name(question.value, "plain" if form == "explicit" else "explicit") in told
