"""Judging spoken answers, told digits and choices; built digits are in ``built``."""

from dataclasses import replace

from sayit.numbers import Judgement, Reading, as_form, judge, read, slips
from sayit.practice.question import Question, Response


def by_parent(question: Question, answer: Response) -> Judgement | None:
    """The parent's own judgement where there is one."""
    if answer.verdict is None:
        return None
    heard = answer.words if isinstance(answer.words, str) else getattr(answer.words, "words", "")
    value = question.value if answer.verdict == "right" else None
    return Judgement(question.value, question.form, heard or answer.digits or "", value, answer.verdict, ())


def unclear(question: Question, heard: str = "") -> Judgement:
    """Nothing that could be judged."""
    return Judgement(question.value, question.form, heard, None, "unclear", ("not-a-number",))


COUNTED = ("counted", "by-twos", "by-fives", "by-tens")
"""Ways of counting to a number."""

HOWEVER_NAMED = (*COUNTED, "mixed-form", "made-up-word", "uncommon-name")
"""Where a quantity is asked for, not a name: counting up to it tells it, and so does a name that is not quite one."""


def spoken(question: Question, answer: Response, *, also: tuple[str, ...] = ()) -> Judgement:
    """A said number against the question's value and form.

    With form "any" either name is right. So is the number said in a way of ``also``, which the reasons
    then tell; said otherwise (digit by digit, counted up to) it is the right number in another form. With
    form "digits" the digits are wanted one by one, and the number's name instead is the other form.
    """
    if parent := by_parent(question, answer):
        return parent
    if not answer.words:
        return unclear(question)
    reading = answer.words if isinstance(answer.words, Reading) else read(answer.words)
    if question.form == "digits":
        return _told(question, reading, answer.sure)
    if question.form != "any":
        return judge(question.value, as_form(question.form), reading, sure=answer.sure)
    judged = judge(question.value, "plain", reading, sure=answer.sure)
    verdict, how = judged.verdict, judged.reasons
    if verdict == "other-form" and set(how) <= {"other-form", *also}:
        verdict, how = "right", tuple(reason for reason in how if reason != "other-form")
    return Judgement(judged.asked, "any", judged.heard, judged.value, verdict, how)


def in_either_name(question: Question, answer: Response) -> Judgement:
    """A number whose tens name was asked for to settle a doubt about its everyday name: either of them will do.

    Where it may be one of both, as "fourteen" and "four-ten", it is heard as the tens name.
    """
    judged = spoken(replace(question, form="explicit"), answer)
    if judged.verdict == "other-form" and judged.reasons == ("other-form",):
        judged = replace(judged, verdict="right", reasons=())
    return replace(judged, form="any")


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


def noticed(judged: Judgement, *reasons: str) -> Judgement:
    """A wrong answer with what its question tells of it, in place of what the two numbers alone would."""
    return replace(judged, reasons=(*reasons, *(how for how in judged.reasons if how in COUNTED)))


def quantity(question: Question, answer: Response) -> Judgement:
    """How many there are, however it is named; its digits one by one are no quantity."""
    return spoken(question, answer, also=HOWEVER_NAMED)


def counted_on(question: Question, answer: Response) -> Judgement:
    """A name that may be reached by counting."""
    return spoken(question, answer, also=COUNTED)


def chosen(question: Question, answer: Response) -> Judgement:
    """A number pointed at, or said in any way that tells which of the two is meant."""
    if parent := by_parent(question, answer):
        return parent
    if answer.choice is None:
        said = spoken(question, answer, also=(*HOWEVER_NAMED, "digit-by-digit"))
        # Anything but one of the two is a mishearing or a misunderstanding, not a choice.
        if said.verdict == "wrong" and said.value not in question.about:
            return unclear(question, said.heard)
        return said
    if answer.choice not in question.about:
        return unclear(question, str(answer.choice))
    verdict = "right" if answer.choice == question.value else "wrong"
    return Judgement(question.value, question.form, str(answer.choice), answer.choice, verdict, ())
