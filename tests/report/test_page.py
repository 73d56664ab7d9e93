"""Pages are self-contained, well formed, safe against any name, and fit the paper."""

import re
import subprocess
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser
from xml.etree import ElementTree as ET

import pytest

from sayit.practice.learner import Learner
from sayit.practice.path import load_path
from sayit.report import figures, figures_of, report_paper
from sayit.report.drawing import TONES
from sayit.report.log import entries, log_paper
from sayit.report.paper import filled
from sayit.report.paper import pages as sheets_of
from sayit.report.plots import as_things, confusion, days, mark
from sayit.report.sheet import sheet_paper
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


def papers(child, year):
    with open_record(year) as record:
        pip = record.child("Pip")
        known = figures_of(record, pip, weeks=12, now=NOW)
        answers, sessions = record.answers(child=pip), record.sessions(pip)
    path = load_path()
    return {
        "report": report_paper(replace(known, child=child), invented=True),
        "log": log_paper(child, entries(answers, sessions, NOW.tzinfo), now=NOW),
        "sheet": sheet_paper(path, "teens", seed=1, now=NOW, child=child.name),
    }


@pytest.fixture(scope="module")
def nasty(year):
    return {name: paper.page() for name, paper in papers(Child(1, NASTY, None, NOW), year).items()}


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


def test_the_two_numbers_most_taken_for_each_other_are_seen_as_things(make):
    from sayit.report.figures import confusions

    lost = {"verdict": "wrong", "reasons": ("lost-zero",), "asked": 4_030, "value": 430}
    answers = [make(0, number, **lost) for number in range(3)] + [make(0, 9, verdict="wrong", asked=14, value=40)]
    (asked, wide), (came, other) = as_things(confusions(answers))
    assert (asked, came) == ("Asked: 4,030", "Came: 430")
    # In one frame, so that place stands over place, and in one tone.
    assert ET.fromstring(wide).get("viewBox") == ET.fromstring(other).get("viewBox")
    assert set(re.findall("#[0-9a-f]{6}", wide + other)) == {TONES[1]}
    assert [part.get("data-place") for part in ET.fromstring(other).iter() if part.get("class") == "part"] == [
        "hundreds", "tens", "ones",
    ]  # fmt: skip
    assert as_things(confusions([make(0, 1, verdict="wrong", asked=14_000, value=40_000)])) == []


def test_notes_stand_on_the_report(nasty):
    text = "".join(read(nasty["report"]).text)
    for note in ("not an assessment", "licensed practitioner", "personal data", "local law"):
        assert note in text
    assert "differs from place to place" in "".join(read(nasty["log"]).text)


def test_whether_recordings_are_kept_stands_on_the_report(year):
    with open_record(year) as record:
        known = figures_of(record, record.child("Pip"), weeks=1, now=NOW)
    assert "No recordings of the voice are kept" in report_paper(known).page()
    kept = replace(known, child=replace(known.child, keep_audio_days=30))
    assert "kept for 30 days" in report_paper(kept).page() and "No recordings" not in report_paper(kept).page()


def printed(paper, tmp_path):
    """The words of a paper's PDF, page by page, and the sizes of its pages and of its letters in points."""
    path = tmp_path / "paper.pdf"
    path.write_bytes(paper.pdf())
    told = subprocess.run(["pdftotext", "-bbox-layout", path, "-"], capture_output=True, text=True, check=True).stdout
    root = ET.fromstring(re.sub(r'<!DOCTYPE[^>]*>| xmlns="[^"]*"', "", told))
    words = [[word.text for word in page.iter("word")] for page in root.iter("page")]
    sizes = {(round(float(page.get("width"))), round(float(page.get("height")))) for page in root.iter("page")}
    return words, sizes


def letters(path):
    """The sizes of the letters in a PDF, in points."""
    told = subprocess.run(["pdftohtml", "-xml", "-stdout", "-i", path], capture_output=True, text=True, check=True)
    # The program draws 1.5 of its units for a point.
    return {int(size) / 1.5 for size in re.findall(r'<fontspec [^>]*size="(\d+)"', told.stdout)}


@pytest.mark.parametrize("weeks", [1, 12, 53])
@pytest.mark.parametrize("name", ["Pip", "Wren"])
def test_the_report_prints_on_one_page_of_a4(year, name, weeks, tmp_path):
    with open_record(year) as record:
        known = figures_of(record, record.child(name), weeks=weeks, now=NOW)
    known = replace(known, child=replace(known.child, name=LONGEST))
    words, sizes = printed(report_paper(known), tmp_path)
    # A4 is 210 mm by 297 mm (ISO 216): 595 by 842 points.
    assert len(words) == 1 and sizes == {(595, 842)}
    assert {"Wilhelmina-Josephine", "practitioner."} <= set(words[0])
    assert min(letters(tmp_path / "paper.pdf")) >= 8, "too small to read with ease"


@pytest.mark.parametrize("step", load_path(999_999).slugs)
def test_a_sheet_is_one_page_of_tasks_and_one_of_answers(step):
    paper = sheet_paper(load_path(999_999), step, seed=7, now=NOW, child=LONGEST)
    assert sheets_of(filled(paper.name, paper.values)) == 2


def test_what_is_too_long_gets_smaller_alike(year, tmp_path):
    with open_record(year) as record:
        paper = report_paper(figures_of(record, record.child("Pip"), weeks=12, now=NOW))
    longer = replace(paper, values=paper.values | {"notes": ["One more line."] * 8})
    assert sheets_of(filled("report", longer.values)) == 2
    assert len(printed(longer, tmp_path)[0]) == 1


@pytest.mark.parametrize("which", ["report", "log", "sheet"])
def test_a_name_is_text_on_paper_too(year, which, tmp_path):
    nasty = '#read("paper.typ") $x$ *_` <b> @a \\ //'
    words, _ = printed(papers(Child(1, nasty, None, NOW), year)[which], tmp_path)
    told = " ".join(words[0])
    assert all(part in told for part in ("#read(", "paper.typ", "*_`", "<b>", "@a"))


def test_a_report_without_answers_is_a_page_too(pip):
    paper = report_paper(figures(pip, Learner(step="to-five"), [], [], since=date(2026, 3, 1), now=NOW))
    assert "no answer that counts" in "".join(read(paper.page()).text)
    assert sheets_of(filled(paper.name, paper.values)) == 1
