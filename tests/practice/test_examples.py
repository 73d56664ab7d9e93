"""Each reason has three answers that show it, through the real reading, judging and following."""

from random import Random

import pytest

from sayit.practice.examples import ANSWERS, examples
from sayit.practice.followups import NEXT_STEPS
from sayit.practice.path import load_path

PATH = load_path()


def test_every_reason_that_is_followed_has_answers():
    assert set(ANSWERS) == {*NEXT_STEPS, "other-number"}


@pytest.mark.parametrize("reason", ANSWERS)
def test_three_answers_show_it(reason):
    found = examples(PATH, reason, Random(1))
    assert len({one.question.key for one in found}) == 3
    for one in found:
        judged = one.judgement
        told = judged.reasons or (("other-form",) if judged.verdict == "other-form" else ())
        assert reason in told, (one.question.key, one.answer, judged)
        counted = reason in ("counted", "by-twos", "by-fives", "by-tens")
        assert judged.verdict in (("right",) if counted else ("wrong", "other-form"))
        assert one.says and (one.after is None or one.after.why)
