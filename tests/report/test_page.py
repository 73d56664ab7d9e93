"""Pages are self-contained, well formed, safe against any name, and fit the paper."""

import re
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser
from xml.etree import ElementTree as ET

import pytest

from sayit.practice.learner import Learner
from sayit.practice.path import load_path
from sayit.report import figures, figures_of, report_page
from sayit.report.log import entries, log_page
from sayit.report.paper import fitted
from sayit.report.plots import confusion, days, mark
from sayit.report.sheet import sheet_page
from sayit.store import Child, open_record
from tests.report.conftest import NOW

NASTY = "<script>alert(1)</script>\"'&{{ 7*7 }}{% x %}</title>"
LONGEST = "Wilhelmina-Josephine of the Harrow kitchen, called Pip, she"


class Reader(HTMLParser):
    """All tags with their attributes, and whether each was closed."""

    VOID = frozenset({"meta", "br", "img", "link", "input", "hr", "!doctype"})

    def __init__(self):
        super().__init__()
        self.tags, self.open, self.text = [], [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.text.append(data)


def read(page):
    reader = Reader()
    reader.feed(page)
    assert reader.open == []
    return reader


def pages(child, year):
    with open_record(year) as record:
        pip = record.child("Pip")
        known = figures_of(record, pip, weeks=12, now=NOW)
        answers, sessions = record.answers(child=pip), record.sessions(pip)
    path = load_path()
    return {
        "report": report_page(replace(known, child=child), invented=True),
        "log": log_page(child, entries(answers, sessions, NOW.tzinfo), now=NOW),
        "sheet": sheet_page(path, "teens", seed=1, now=NOW, child=child.name),
    }


@pytest.fixture(scope="module")
def nasty(year):
    return pages(Child(1, NASTY, None, NOW), year)


@pytest.mark.parametrize("which", ["report", "log", "sheet"])
def test_a_page_needs_nothing_from_anywhere(nasty, which):
    reader = read(nasty[which])
    assert not {tag for tag, _ in reader.tags} & {"script", "link", "img", "iframe", "object", "embed", "base", "form"}
    for _, attrs in reader.tags:
        assert not {"src", "href", "srcset", "style", "action"} & set(attrs)
        assert not [name for name in attrs if name.startswith("on")]
    addresses = re.findall(r"\b(?:https?:)?//[^\s\"'<>)]+", nasty[which])
    assert set(addresses) <= {"http://www.w3.org/2000/svg"}
    assert "@import" not in nasty[which] and "url(" not in nasty[which]


@pytest.mark.parametrize("which", ["report", "log", "sheet"])
def test_a_name_is_text_whatever_it_holds(nasty, which):
    assert "<script" not in nasty[which]
    assert NASTY in "".join(read(nasty[which]).text)


def test_names_and_reasons_are_text_in_pictures_too(year):
    with open_record(year) as record:
        known = figures_of(record, record.child("Wren"), weeks=12, now=NOW)
    ET.fromstring(days(known.days, known.since, known.until))
    for status in ("new", "shaky", "known", "fluent"):
        ET.fromstring(mark(status))
    assert known.confusions
    for one in known.confusions:
        root = ET.fromstring(confusion(one, NASTY))
        assert NASTY in root.get("aria-label")
        told = "".join(text.text for text in root.iter("{http://www.w3.org/2000/svg}text"))
        for pair in one.pairs:
            assert f"{pair.asked:,}" in told and f"{pair.heard:,}" in told
        ribbons = list(root.iter("{http://www.w3.org/2000/svg}path"))
        assert len(ribbons) == len(one.pairs)


def test_the_more_often_the_wider(make):
    from sayit.report.figures import confusions

    swap = {"verdict": "wrong", "reasons": ("teen-ty-swap",)}
    answers = [make(0, number, value=30, **swap) for number in range(6)] + [make(0, 9, asked=14, value=40, **swap)]
    root = ET.fromstring(confusion(confusions(answers)[0], "x"))
    once, six = (float(path.get("stroke-width")) for path in root.iter("{http://www.w3.org/2000/svg}path"))
    assert six > 3 * once


def test_notes_stand_on_the_report(nasty):
    text = "".join(read(nasty["report"]).text)
    for note in ("not an assessment", "licensed practitioner", "personal data", "local law"):
        assert note in text
    assert "differs from place to place" in "".join(read(nasty["log"]).text)


def test_whether_recordings_are_kept_stands_on_the_report(year):
    with open_record(year) as record:
        known = figures_of(record, record.child("Pip"), weeks=1, now=NOW)
    assert "No recordings of the voice are kept" in report_page(known)
    kept = replace(known, child=replace(known.child, keep_audio_days=30))
    assert "kept for 30 days" in report_page(kept) and "No recordings" not in report_page(kept)


def laid_out(page, sheets=None):
    pytest.importorskip("weasyprint", reason="no PDF here: WeasyPrint or Pango is missing", exc_type=Exception)
    return fitted(page, sheets)


@pytest.mark.parametrize("weeks", [1, 12, 53])
@pytest.mark.parametrize("name", ["Pip", "Wren"])
def test_the_report_prints_on_one_page_of_a4(year, name, weeks):
    with open_record(year) as record:
        known = figures_of(record, record.child(name), weeks=weeks, now=NOW)
    known = replace(known, child=replace(known.child, name=LONGEST))
    document, scale = laid_out(report_page(known), 1)
    (page,) = document.pages
    # CSS pixels, 96 an inch: 210 mm by 297 mm.
    assert (round(page.width * scale), round(page.height * scale)) == (794, 1123)
    assert scale >= 0.85, "too small to read with ease"


@pytest.mark.parametrize("step", load_path(999_999).slugs)
def test_a_sheet_is_one_page_of_tasks_and_one_of_answers(step):
    document, scale = laid_out(sheet_page(load_path(999_999), step, seed=7, now=NOW, child=LONGEST), 2)
    assert len(document.pages) == 2 and scale >= 0.85


def test_what_is_too_long_gets_smaller_alike(year):
    with open_record(year) as record:
        page = report_page(figures_of(record, record.child("Pip"), weeks=12, now=NOW))
    longer = page.replace("<footer>", "<section>" + "<p>One more line.</p>" * 12 + "</section><footer>")
    whole, scale = laid_out(longer)
    assert len(whole.pages) == 2 and scale == 1
    document, scale = laid_out(longer, 1)
    assert len(document.pages) == 1 and scale < 1
    assert round(document.pages[0].width * scale) == 794


def test_an_address_in_a_page_is_not_fetched(caplog):
    document, _ = laid_out("<p>a</p><img src='file:///etc/hostname' alt='gone'>")
    assert len(document.pages) == 1
    assert "disallowed protocol" in caplog.text


def test_a_report_without_answers_is_a_page_too(pip):
    page = report_page(figures(pip, Learner(step="to-five"), [], [], since=date(2026, 3, 1), now=NOW))
    assert "no answer that counts" in "".join(read(page).text)
    assert len(laid_out(page)[0].pages) == 1
