"""Papers: what goes onto one, laid out for the screen as HTML and for the printer as PDF."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from sayit.numbers import reason_of
from sayit.report import plots
from sayit.report.figures import MOST_PANELS, Figures
from sayit.report.week import cards
from sayit.report.words import counted, day_in_words, heaps, lead, notes, short, where

if TYPE_CHECKING:
    from jinja2 import Environment

__all__ = ["Paper", "report_paper"]


@dataclass(frozen=True, slots=True)
class Paper:
    """One paper: the name of its two templates, the plain values that fill them, and the sheets of A4 it is to fit on.

    Pictures among the values are SVG as ``Markup``; all else is text, whatever it holds.
    """

    name: str
    values: dict[str, Any]
    sheets: int | None = None

    def page(self) -> str:
        """One self-contained page of HTML: every value is escaped unless it is markup already, nothing is fetched."""
        return _environment().get_template(f"{self.name}.html").render(**self.values)

    def pdf(self) -> bytes:
        """The same on paper."""
        from sayit.report.paper import pdf

        return pdf(self.name, self.values, self.sheets)


def report_paper(figures: Figures, *, invented: bool = False) -> Paper:
    """The report: one sheet of A4."""
    tomorrow = cards(figures.plan)[0]
    # They take the place of one panel: the page is full.
    things = plots.as_things(figures.confusions)
    return Paper(
        "report",
        {
            "child": figures.child.name,
            "made": day_in_words(figures.made),
            "since": day_in_words(figures.since),
            "until": day_in_words(figures.until),
            "invented": invented,
            "lead": " ".join(lead(figures)),
            "here": where(figures).title,
            "path": [
                {
                    "title": short(step.title),
                    "place": step.place,
                    "mark": plots.mark(step.status if step.place != "ahead" else "new"),
                }
                for step in figures.path
            ],
            "heaps": [
                {"title": heap.title, "lines": heap.lines, "more": heap.more, "mark": plots.mark(heap.status)}
                for heap in heaps(figures)
            ],
            "tomorrow": {
                "minutes": tomorrow.minutes,
                "about": f"{tomorrow.aim} {tomorrow.why}",
                "lay_out": tomorrow.lay_out,
                "say": tomorrow.say,
            },
            "confusions": [
                {
                    "title": reason_of(one.reason).title,
                    "times": counted(one.times, "time"),
                    "picture": plots.confusion(one, reason_of(one.reason).title),
                }
                for one in figures.confusions[: MOST_PANELS - bool(things)]
            ],
            "things": [{"title": title, "picture": picture} for title, picture in things],
            "days": plots.days(figures.days, figures.since, figures.until) if figures.days else "",
            "notes": notes(figures),
        },
        sheets=1,
    )


@cache
def _environment() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    return Environment(
        loader=PackageLoader("sayit.report"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
