"""The report's sentences: what the figures mean, for a parent."""

from dataclasses import dataclass
from datetime import date

from sayit.numbers import reason_of
from sayit.practice.activities import split
from sayit.practice.standing import SkillStanding, StepStanding
from sayit.report.figures import Figures

MOST = 3
"""Lines of a heap before the rest is only counted."""

_MOST_ASKS = 2
"""Ways of asking in a line before the rest is only counted."""

HEAPS = {"fluent": "Fluent", "known": "Right, not at once", "shaky": "Shaky", "new": "New"}
"""What each status is called."""


@dataclass(frozen=True, slots=True)
class Heap:
    """One of the four heaps of things practised: its ``status``, a ``title``, ``lines`` and how many ``more`` there are."""

    status: str
    title: str
    lines: tuple[str, ...]
    more: int = 0


def lead(figures: Figures) -> tuple[str, ...]:
    """The first sentences."""
    name, days = figures.child.name, len(figures.days)
    if not figures.judged:
        return (f"{name} gave no answer that counts since {day_in_words(figures.since)}.",)
    a_day = counted(round(figures.minutes / days) or 1, "minute")
    told = [
        (
            f"{name} practised on {counted(days, 'day')}, {duration(figures.minutes)} in all "
            f"(about {a_day} a day), and gave {counted(figures.judged, 'answer')}."
        ),
        f"{share(figures.right, figures.judged)} were right, {share(figures.quick, figures.judged)} right and at once.",
    ]
    met, nearly = figures.aims.get("met", 0), figures.aims.get("nearly", 0)
    asked = met + nearly + figures.aims.get("not yet", 0)
    if asked:
        told.append(f"The aim of the day was met in {met} of {counted(asked, 'sitting')}, nearly met in {nearly}.")
    if figures.other_form:
        told.append(f"In {counted(figures.other_form, 'answer')} the number was right and its other name was wanted.")
    if faster := _faster(figures):
        told.append(faster)
    return tuple(told)


def heaps(figures: Figures) -> tuple[Heap, ...]:
    """What is fluent, right but slow, shaky, and new, a line for each step."""
    found: dict[str, list[str]] = {status: [] for status in HEAPS}
    for step in figures.path:
        if step.place == "ahead":
            continue
        needed = [skill for skill in step.skills if skill.needed]
        if all(skill.status == "fluent" for skill in needed):
            found["fluent"].append(short(step.title))
            continue
        for status, lines in found.items():
            # What lies behind the child and was hardly asked says nothing.
            told = [skill for skill in needed if skill.status == status and (skill.seen > 1 or step.place == "here")]
            if told:
                lines.append(f"{short(step.title)}: {_skills(told, len(needed))}{_trouble(told)}")
    if following := next((step for step in figures.path if step.place == "ahead"), None):
        found["new"].append(f"Then: {short(following.title)}")
    # The latest steps say most about now.
    return tuple(
        Heap(status, HEAPS[status], tuple(lines[::-1] if status != "new" else lines)[:MOST], max(len(lines) - MOST, 0))
        for status, lines in found.items()
    )


def notes(figures: Figures) -> tuple[str, ...]:
    """What a parent should know where they read a report."""
    days = figures.child.keep_audio_days
    recordings = (
        f"Recordings of {figures.child.name}’s voice are kept for {counted(days, 'day')}, until the next use after them, because you turned that on."
        if days
        else "No recordings of the voice are kept."
    )
    return (
        "This is practice, not an assessment of hearing, speech or learning. If something worries you, see a licensed practitioner.",
        f"What a child said is personal data: keep this page as you keep other papers about your child; your local law applies. {recordings}",
        "Quiet talk is loud enough, ten minutes a day are enough.",
    )


def where(figures: Figures) -> StepStanding:
    """The step at which the child is."""
    return next(step for step in figures.path if step.place == "here")


def short(title: str) -> str:
    """A step's title without what follows its colon."""
    return title.partition(":")[0]


def ask_in_words(ask: str) -> str:
    """A way of asking such as "build:explicit" in a few words."""
    return split(ask)[0].short


def share(part: int, whole: int) -> str:
    """A share such as "88 of 100"; whole numbers below a hundred as they are."""
    if whole < 100:
        return f"{part} of {whole}"
    return f"{round(100 * part / whole)} of 100"


def counted(number: int, thing: str) -> str:
    """How many of a thing: "1 day", "2,310 answers"."""
    return f"{number:,} {thing}{'' if number == 1 else 's'}"


def duration(minutes: float) -> str:
    """A time such as "6 hours 50 minutes"."""
    whole = round(minutes)
    hours, rest = divmod(whole, 60)
    if not hours:
        return counted(rest, "minute") if rest else "less than a minute"
    return counted(hours, "hour") + (f" {counted(rest, 'minute')}" if rest else "")


def day_in_words(day: date) -> str:
    """A day as "4 March 2026", in English whatever the machine's own language."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December",
)  # fmt: skip
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def _skills(skills: list[SkillStanding], of: int) -> str:
    if len(skills) == of:
        return "all of it"
    asked = list(dict.fromkeys(ask_in_words(skill.ask) for skill in skills))
    return (
        ", ".join(asked)
        if len(asked) <= _MOST_ASKS
        else f"{', '.join(asked[:_MOST_ASKS])} and {len(asked) - _MOST_ASKS} more"
    )


def _trouble(skills: list[SkillStanding]) -> str:
    reasons = [skill.trouble[0] for skill in skills if skill.trouble and skill.status == "shaky"]
    return f" ({reason_of(reasons[0]).title.lower()})" if reasons else ""


def _faster(figures: Figures) -> str:
    speed = figures.speed
    if not speed:
        return ""
    told = f"The same kinds of question are answered after about {speed.after:.1f} seconds"
    if abs(speed.before - speed.after) < 0.1:
        return f"{told}, as at the beginning."
    return f"{told}; at the beginning it was {speed.before:.1f}."
