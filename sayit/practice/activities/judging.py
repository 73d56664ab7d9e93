"""Judging spoken answers, told digits and choices; built digits are in ``built``."""

from sayit.numbers import Judgement, Reading, judge, read, slips
from sayit.practice.question import Answer, Question


def by_parent(question: Question, answer: Answer) -> Judgement | None:
    """The parent's own judgement where there is one."""
    if answer.verdict is None:
        return None
    heard = answer.words if isinstance(answer.words, str) else getattr(answer.words, "words", "")
    value = question.value if answer.verdict == "right" else None
    return Judgement(question.value, question.form, heard or answer.digits or "", value, answer.verdict, ())


def unclear(question: Question, heard: str = "") -> Judgement:
    """Nothing that could be judged."""
    return Judgement(question.value, question.form, heard, None, "unclear", ("not-a-number",))


def spoken(question: Question, answer: Answer) -> Judgement:
    """A said number against the question's value and form.

    With form "any" either name is right, and so is counting up to it or mixing the names, which the
    reasons then say. With form "digits" the digits are
    wanted one by one, and the number's name instead is the other form.
    """
    if parent := by_parent(question, answer):
        return parent
    if not answer.words:
        return unclear(question)
    reading = answer.words if isinstance(answer.words, Reading) else read(answer.words)
    if question.form == "digits":
        return _told(question, reading, answer.sure)
    if question.form != "any":
        return judge(question.value, question.form, reading, sure=answer.sure)
    judged = judge(question.value, "plain", reading, sure=answer.sure)
    if judged.verdict == "other-form" and "digit-by-digit" not in judged.reasons:
        how = tuple(reason for reason in judged.reasons if reason != "other-form")
        return Judgement(judged.asked, "any", judged.heard, judged.value, "right", how)
    return Judgement(judged.asked, "any", judged.heard, judged.value, judged.verdict, judged.reasons)


def _told(question: Question, reading: Reading, sure: bool) -> Judgement:
    wanted = str(question.value)
    told = reading.digits or (str(reading.value) if reading.value is not None and reading.value < 10 else None)
    if told is None:
        named = judge(question.value, "plain", reading, sure=sure)
        verdict = "other-form" if named.verdict in ("right", "other-form") else named.verdict
        return Judgement(named.asked, "digits", named.heard, named.value, verdict, named.reasons)
    verdict = "unclear" if not sure else "right" if told == wanted else "wrong"
    why = slips(question.value, int(told)) if verdict == "wrong" else () if sure else ("not-sure",)
    return Judgement(question.value, "digits", reading.words, int(told), verdict, why)


def chosen(question: Question, answer: Answer) -> Judgement:
    """A number pointed at, or said in either form."""
    if parent := by_parent(question, answer):
        return parent
    if answer.choice is None:
        said = spoken(question, answer)
        # Anything but one of the two is a mishearing or a misunderstanding, not a choice.
        if said.verdict == "wrong" and said.value not in question.about:
            return unclear(question, said.heard)
        return said
    if answer.choice not in question.about:
        return unclear(question, str(answer.choice))
    verdict = "right" if answer.choice == question.value else "wrong"
    return Judgement(question.value, question.form, str(answer.choice), answer.choice, verdict, ())
