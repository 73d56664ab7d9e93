"""A sitting: what comes after what, and how it ends."""

import itertools
import json
from collections import Counter
from datetime import UTC, datetime, timedelta
from random import Random

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from sayit.numbers import name
from sayit.practice.activities import ACTIVITIES
from sayit.practice.flow import LATER_SECONDS
from sayit.practice.folding import fold
from sayit.practice.learner import Learner, Past
from sayit.practice.path import load_path
from sayit.practice.phrases import PHRASES
from sayit.practice.question import Response
from sayit.practice.session import lead_one

NOW = datetime(2026, 1, 5, 16, tzinfo=UTC)
SLUGS = load_path().slugs


def right(question, seconds: float = 1.0) -> Response:
    """The right answer in words or digits."""
    if question.way == "digits":
        return Response(digits=str(question.value), response_seconds=seconds)
    if question.form == "digits":
        return Response(words=" ".join(name(int(digit)) for digit in str(question.value)), response_seconds=seconds)
    return Response(
        words=name(question.value, "plain" if question.form == "any" else question.form), response_seconds=seconds
    )


def play(session, answer, *, now=NOW, each=8.0, most=2_000):
    """Play to the end; ``answer(question, place)`` answers. Gives (question, outcome) in order, and the time."""
    played = []
    while (question := session.next_question(now)) is not None:
        assert session.next_question(now) is question
        outcome = session.take(answer(question, len(played)), now)
        played.append((question, outcome))
        now += timedelta(seconds=each)
        assert len(played) < most, "it never ends"
    return played


def chancy(seed: int, chance: float):
    """A child who is right with that chance, sometimes unclear, sometimes in the other form, sometimes slow."""
    random = Random(seed)

    def answer(question, _):
        if random.random() < 0.05:
            return Response(words="", response_seconds=1.0)
        good = right(question, random.choice([None, 0.8, 3.0, 9.0]))
        if random.random() < chance:
            return good
        return (
            Response(verdict="wrong", response_seconds=good.response_seconds)
            if random.random() < 0.5
            else Response(
                words=name(max(question.value - 1, 0)), digits="77", choice=question.about[0], response_seconds=2.0
            )
        )

    return answer


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from(SLUGS), st.floats(0.0, 1.0), st.floats(0.5, 12.0))
def test_every_sitting_ends_in_time_and_is_the_same_again(seed, step, chance, minutes):
    plays = []
    for _ in range(2):
        learner = Learner(step=step)
        session = lead_one(learner, NOW, seed=seed, minutes=minutes)
        played = play(session, chancy(seed, chance))
        plays.append(([(q.key, q.purpose, o.level) for q, o in played], learner.to_dict(), session.because))
        assert session.over and session.next_question(NOW) is None
        # Closing and a last success may run over, by half a minute and a few tries.
        assert len(played) * 8.0 <= minutes * 60 + 15 * 8.0
    assert plays[0] == plays[1]
    json.dumps([question.to_dict() for question, _ in played])


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from(SLUGS), st.floats(0.2, 0.95))
def test_the_state_is_what_the_record_gives(seed, step, chance):
    learner = Learner(step=step)
    played = play(lead_one(learner, NOW, seed=seed, minutes=8), chancy(seed, chance))
    record = [outcome.past for _, outcome in played if outcome.past]
    fresh = Learner(step=step)
    for past in record:
        fold(fresh, past)
    assert fresh == learner


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from(SLUGS), st.floats(0.0, 0.9))
def test_never_a_buzzer_always_the_right_answer_and_only_known_phrases(seed, step, chance):
    for question, outcome in play(lead_one(Learner(step=step), NOW, seed=seed, minutes=6), chancy(seed, chance)):
        for phrase in (*question.say, *outcome.reply):
            assert tuple(blank for blank, _ in phrase.values) == PHRASES[phrase.key], phrase
            assert all(named.words for _, named in phrase.values)
        if outcome.level == "missed":
            said = [named.value for phrase in outcome.reply for _, named in phrase.values]
            assert question.value in said
        for sentence in (outcome.note, outcome.follow_up.why if outcome.follow_up else ""):
            assert "wrong" not in sentence.lower() and "error" not in sentence.lower()


def missing(*places):
    """Misses the questions at these places (from 0), and only those."""

    def answer(question, place):
        return Response(verdict="wrong", response_seconds=1.0) if place in places else right(question)

    return answer


def test_a_missed_question_comes_back_after_a_few_others_and_later_again():
    checked = 0
    for seed in range(25):
        session = lead_one(Learner(step="tens-and-ones"), NOW, seed=seed, minutes=8)
        played = play(session, missing(5))
        question = played[5][0]
        if question.purpose == "closing":
            continue
        keys = [other.key for other, _ in played]
        back = [
            place for place, (other, _) in enumerate(played) if other.key == question.key and other.purpose == "return"
        ]
        assert len(back) == 2, (seed, keys)
        detour = [place for place, (other, _) in enumerate(played[6:10], 6) if other.purpose in ("follow-up", "again")]
        # Three others lie between, and eight before the second time.
        assert back[0] - 5 - len(detour) == 4
        assert back[1] - back[0] == 9
        checked += 1
    assert checked >= 20


def test_hard_and_easy_interleave():
    for seed in range(10):
        random = Random(seed)
        session = lead_one(Learner(step="hundreds"), NOW, seed=seed, minutes=10)
        played = play(
            session,
            lambda q, _, random=random: (
                right(q) if random.random() < 0.8 else Response(verdict="wrong", response_seconds=1.0)
            ),
        )
        free = [q for q, _ in played if q.purpose in ("new", "due", "easy")]
        run = longest = 0
        for question in free:
            run = 0 if question.purpose == "easy" else run + 1
            longest = max(longest, run)
        assert longest <= 5
        asks = [q.skill for q in free]
        assert all(len(set(three)) > 1 for three in zip(asks, asks[1:], asks[2:], strict=False))


def test_it_stops_before_tiring_and_ends_on_a_success():
    for seed in range(20):
        session = lead_one(Learner(step="hundreds"), NOW, seed=seed, minutes=20)

        def answer(question, place):
            return (
                right(question)
                if place < 4 or question.purpose == "finish"
                else Response(verdict="wrong", response_seconds=2.0)
            )

        played = play(session, answer)
        assert len(played) == 4 + 6 + 1, "six misses in a row are enough"
        lowest = SLUGS.index("hundreds")
        for place, (question, _) in enumerate(played):
            if question.purpose == "easy" and place >= 4 + 2:
                assert SLUGS.index(question.step) <= lowest // 2, "after two misses it becomes easier and easier"
            lowest = min(lowest, SLUGS.index(question.step)) if place >= 4 else lowest
        assert session.because.startswith("tiring")
        assert played[-1][0].purpose == "finish" and played[-1][1].level != "missed"
        assert session.closing.met == "not asked"


def test_a_child_who_misses_everything_is_not_kept():
    session = lead_one(Learner(step="hundreds"), NOW, seed=1, minutes=20)
    played = play(session, lambda question, place: Response(verdict="wrong", response_seconds=2.0))
    assert session.over and len(played) <= 12
    # The last thing asked is to say a small number back.
    assert played[-1][0].activity == "say-back" and played[-1][0].value <= 5


def test_answers_that_grow_much_slower_end_it():
    learner = Learner(step="teens")
    for day in range(6):
        play(
            lead_one(learner, NOW + timedelta(days=day), seed=day, minutes=8),
            lambda q, _: right(q, 1.0),
            now=NOW + timedelta(days=day),
        )
    then = NOW + timedelta(days=7)
    session = lead_one(learner, then, seed=9, minutes=20)
    played = play(session, lambda q, place: right(q, 1.0 if place < 20 else 5.0), now=then)
    assert session.because == "tiring: answers take much longer than this child's usual"
    assert 24 <= len(played) <= 55


def test_three_closing_questions_tell_whether_the_aim_was_met():
    for misses, met in ((0, "met"), (1, "nearly"), (2, "not yet"), (3, "not yet")):
        session = lead_one(Learner(step="whole-tens"), NOW, seed=4, minutes=5)
        seen = []

        def answer(question, place, seen=seen, misses=misses):
            if question.purpose == "closing":
                seen.append(question)
                return Response(verdict="wrong") if len(seen) <= misses else right(question)
            return right(question)

        played = play(session, answer)
        assert [question.skill for question in seen] == [session.aim.skill] * 3
        assert seen[0].say[0].key == "closing.start"
        assert len({question.about for question in seen}) == 3
        assert (session.closing.met, session.closing.asked) == (met, 3)
        # The last one of the closing may be missed; then something easy follows.
        assert played[-1][1].level != "missed"
        assert (played[-1][0].purpose == "finish") == (misses == 3)


def test_how_many_tens_is_asked_again_until_it_comes_at_once():
    found = 0
    for seed in range(30):
        session = lead_one(Learner(step="ten-tens"), NOW, seed=seed, minutes=15)
        times: dict[str, list[tuple[float, str, float]]] = {}
        clock = NOW
        while (question := session.next_question(clock)) is not None:
            seen = times.setdefault(question.key, [])
            slow = question.activity == "tens-in" and not seen
            outcome = session.take(right(question, 6.0 if slow else 1.0), clock)
            seen.append(((clock - NOW).total_seconds(), question.purpose, outcome.level))
            clock += timedelta(seconds=10)
        for key, seen in times.items():
            for (first, _purpose, level), (second, again, _then) in itertools.pairwise(seen):
                if again == "until-at-once":
                    assert "/tens-in" in key and second - first >= LATER_SECONDS and level != "fluent"
                    found += 1
            assert all(level == "fluent" for _, purpose, level in seen if purpose == "until-at-once")
            assert sum(purpose == "until-at-once" for _, purpose, _ in seen) <= 1, "at once is enough"
    assert found >= 20


def test_an_unclear_answer_is_asked_again_and_never_held_against_the_child():
    learner = Learner(step="teens")
    session = lead_one(learner, NOW, seed=2)
    question = session.next_question(NOW)
    for _ in range(2):
        outcome = session.take(Response(words="", response_seconds=2.0), NOW)
        assert (outcome.level, outcome.past) == ("unclear", None)
        assert outcome.reply[0].key == "reply.not-a-number"
        assert session.next_question(NOW) is question
    assert session.take(Response(words="", response_seconds=2.0), NOW).reply[0].key.startswith("reply.model")
    assert session.next_question(NOW) is not question
    assert not learner.skills and not learner.answers


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.integers(0, 25), st.sampled_from(["right", "wrong"]))
def test_a_correction_leaves_no_trace_of_the_first_verdict(seed, before, final):
    plays = []
    for corrected in (False, True):
        learner = Learner(step="tens-and-ones")
        session = lead_one(learner, NOW, seed=seed, minutes=10)
        clock, answer = NOW, chancy(seed, 0.7)
        keys = []
        for place in range(before + 10):
            question = session.next_question(clock)
            if question is None:
                break
            keys.append(question.key)
            if place == before:
                if corrected:
                    session.take(
                        Response(verdict="wrong" if final == "right" else "right", response_seconds=1.0), clock
                    )
                    # The next question may have been chosen and said already.
                    session.next_question(clock)
                    session.override("again", clock)
                    session.override("wrong" if final == "right" else "right", clock)
                    session.override(final, clock)
                else:
                    session.take(Response(verdict=final, response_seconds=1.0), clock)
            else:
                session.take(answer(question, place), clock)
            clock += timedelta(seconds=8)
        plays.append((keys, learner.to_dict()))
    assert plays[0] == plays[1]


@pytest.mark.parametrize(
    ("limit", "step"), [(10, "five-and-some"), (20, "teens"), (120, "ten-tens"), (999_999, "beyond")]
)
def test_any_limit_can_be_played(limit, step):
    for seed in range(5):
        learner = Learner(step=step, limit=limit)
        for question, _ in play(lead_one(learner, NOW, seed=seed, minutes=8), chancy(seed, 0.8)):
            assert max(question.about) <= limit
        assert learner.step in learner.path.slugs


def test_again_and_skip():
    learner = Learner(step="teens")
    session = lead_one(learner, NOW, seed=3)
    assert session.override("right", NOW) is None, "there is nothing to correct"
    with pytest.raises(ValueError, match="no question"):
        session.take(Response(words="one"), NOW)
    question = session.next_question(NOW)
    session.take(right(question), NOW)
    assert session.override("again", NOW) is None
    assert session.next_question(NOW) is question
    assert not learner.skills
    session.take(right(question), NOW)
    assert session.override("skip", NOW) is None
    assert session.next_question(NOW) is not question
    assert not learner.skills
    open_ = session.next_question(NOW)
    session.skip(NOW)
    assert session.next_question(NOW) is not open_
    with pytest.raises(ValueError, match="no correction"):
        session.override("perhaps", NOW)


def test_a_sitting_without_answers_says_why_it_ended():
    learner = Learner(step="teens")
    session = lead_one(learner, NOW, seed=2)
    play(session, lambda question, place: Response())
    assert session.over and session.because == "no answer came to three questions" and not learner.answers


def test_an_answer_ends_the_silence():
    session = lead_one(Learner(step="teens"), NOW, seed=2, minutes=2)
    play(session, lambda question, place: right(question) if place % 5 == 4 else Response())
    assert session.because == "the time is up"


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from(SLUGS), st.floats(0.0, 0.9))
@example(2893, "to-five", 0.09375)
def test_no_question_is_missed_three_times_in_a_sitting(seed, step, chance):
    missed = Counter()
    for question, outcome in play(lead_one(Learner(step=step), NOW, seed=seed, minutes=10), chancy(seed, chance)):
        missed[question.key] += outcome.level == "missed" and question.purpose != "finish"
        if missed[question.key] == 2:
            assert all(phrase.key != "reply.comes-back" for phrase in outcome.reply), "it is left for another day"
    assert max(missed.values()) <= 2, missed.most_common(2)


def test_a_sitting_takes_some_time():
    learner = Learner(step="teens")
    with pytest.raises(ValueError, match="more than 0 minutes"):
        lead_one(learner, NOW, seed=1, minutes=0)


def test_a_gap_behind_becomes_the_aim_and_takes_most_of_the_hard_questions():
    hard = focused = 0
    for seed in range(12):
        learner = Learner(step="tens-and-ones")
        for turn, number in enumerate([13, 30, 14, 40]):
            key = f"{'teens' if number < 20 else 'whole-tens'}/read-out:plain/{number}"
            fold(learner, Past(NOW + timedelta(minutes=turn), key, "wrong", ("teen-ty-swap",), 2.0))
        then = NOW + timedelta(days=1)
        session = lead_one(learner, then, seed=seed)
        assert session.aim.reason == "teen-ty-swap" and session.aim.step in ("teens", "whole-tens")
        assert "thirteen, thirty" in session.aim.why
        played = [q for q, _ in play(session, lambda q, _: right(q), now=then) if q.purpose in ("new", "due")]
        hard += len(played)
        focused += sum(question.skill in session.aim.focus for question in played)
    assert focused / hard > 0.7, focused / hard


def test_a_step_is_not_called_done_where_its_quantities_are_still_counted():
    learner, notes, now = Learner(step="five-and-some"), [], NOW
    for day in range(6):
        session = lead_one(learner, now + timedelta(days=day), seed=day)

        def counts(question, place):
            counted = " ".join(name(number) for number in range(1, question.value + 1))
            return Response(words=counted, response_seconds=1.0) if question.activity == "glimpse" else right(question)

        notes += [outcome.note for _, outcome in play(session, counts, now=now + timedelta(days=day)) if outcome.step]
    assert notes and notes[0] == (
        "“Six to ten as five and some” is right by counting, not yet at once, so it keeps coming back. "
        "Next comes “Pairs that make ten”."
    )


def test_pressing_nothing_twice_is_the_same_question():
    session = lead_one(Learner(step="teens"), NOW, seed=1)
    assert session.next_question(NOW) is session.next_question(NOW + timedelta(minutes=3))


def test_every_activity_comes_up():
    asked = set()
    for step in SLUGS:
        for seed in range(4):
            played = play(lead_one(Learner(step=step), NOW, seed=seed, minutes=10), missing(*range(0, 100, 4)))
            asked |= {question.activity for question, _ in played}
    assert asked == set(ACTIVITIES)
