"""Pages out of templates: what goes in is escaped, nothing is fetched from anywhere."""

from functools import cache
from typing import TYPE_CHECKING, Any

from sayit.numbers import reason_of
from sayit.report import plots
from sayit.report.figures import Figures
from sayit.report.week import Card, cards
from sayit.report.words import day_in_words, heaps, lead, notes, short, where

if TYPE_CHECKING:
    from jinja2 import Environment


def report_page(figures: Figures, *, invented: bool = False) -> str:
    """The report as one self-contained HTML page; prints on one A4 page."""
    return render(
        "report.html",
        child=figures.child.name,
        made=day_in_words(figures.made),
        since=day_in_words(figures.since),
        until=day_in_words(figures.until),
        invented=invented,
        lead=lead(figures),
        here=where(figures),
        path=figures.path,
        short=short,
        heaps=heaps(figures),
        tomorrow=_tomorrow(figures),
        confusions=[plots.confusion(one, reason_of(one.reason).title) for one in figures.confusions],
        days=plots.days(figures.days, figures.since, figures.until) if figures.days else None,
        notes=notes(figures),
        mark=plots.mark,
    )


def render(template: str, **values: Any) -> str:
    """Fill a template of this package; every value is escaped unless it is markup already."""
    return _environment().get_template(template).render(**values)


def _tomorrow(figures: Figures) -> Card:
    return cards(figures.plan)[0]


@cache
def _environment() -> "Environment":
    from jinja2 import Environment, PackageLoader, StrictUndefined

    return Environment(
        loader=PackageLoader("sayit.report"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
