"""Whole sittings with recorded children: their voices come from Chromium's own fake microphone or at a chosen moment.

speechocean762 (Zhang et al. 2021, arXiv 2104.01378; OpenSLR 101, CC BY 4.0): children of 6 to 9 read digit
strings and sentences. A number is said by the tool, and the child tells its digits one by one. The recogniser
learnt from these strings in its last stage, so this is no measure of it; it shows that the sound arrives whole.
"""

import itertools
from datetime import UTC, datetime

import pytest

from sayit.sound.audio import load
from sayit.store import open_record
from tests.page.conftest import timed
from tests.page.test_sitting import SLOW, _no_trouble
from tests.speech_data import MISSING, present, recordings

pytestmark = pytest.mark.skipif(not present(), reason=MISSING)

DIGITS = "zero one two three four five six seven eight nine".split()
PLACES = {"forms": ["plain"], "ways": ["places"], "patience": 30, "quiet": 0.8, "volume": 0.05}


def _value(words: str) -> int:
    return int("".join(str(DIGITS.index(word)) for word in words.split()))


def _number(speaker: str, words: str):
    (found,) = [one for one in recordings("numbers") if (one.speaker, one.words.lower()) == (speaker, words)]
    return load(found.path)


def _talk(speaker: str):
    """A sentence of this child's without a number in it."""
    told = [one for one in recordings("read-speech") if one.speaker == speaker and len(one.words.split()) >= 4]
    return load(told[0].path)


def _household(household, words, **settings):
    return household(child="Wren", low=_value(words), high=_value(words), **{**PLACES, **settings})


def test_right_and_another_number_from_one_file(household, visit, microphone_file):
    """A girl of six at Chromium's own microphone: the number asked, then another one."""
    words, other = "five two four seven", "six one six zero"
    said = timed(32, (9, _number("0006", words)), (24, _number("0006", other)))
    home = _household(household, words)
    page = visit(home, speaking=False, wav=microphone_file("girl-of-six", said))
    page.touch()
    page.start()
    right, wrong = page.heard(2, 90)
    assert (right.verdict, right.value, right.heard_form) == ("right", 5247, "digits")
    assert (wrong.verdict, wrong.value) == ("wrong", 6160)
    assert all(answer.listener == "numbers-en" and answer.audio_seconds > 1 for answer in (right, wrong))
    page.press("Stop")
    page.desk.wait_for_selector("#after:not([hidden])", timeout=SLOW * 1000)
    assert home.sessions()[0].ended is not None
    _no_trouble(page)


def test_a_sitting_runs_to_its_end_by_the_clock(given_in, visit, microphone_file):
    """A boy of seven says the same again and again (the file is played in a round) until the time is over."""
    words = "five five seven one"
    # Between two rounds there is time for all that the tool says to an answer heard from the middle.
    said = timed(15, (3, _number("1439", words)))
    home = _household(given_in, words, minutes=2)
    home.loaded.touch()
    page = visit(home, speaking=False, wav=microphone_file("boy-of-six", said), again=True)
    page.touch()
    page.start()
    for count in itertools.count(1):
        if sum(answer.verdict == "right" for answer in page.heard(count, SLOW)) == 2:
            break
    home.forward(2)
    page.desk.get_by_text("The time was up.").wait_for(timeout=SLOW * 1000)
    (session,) = home.sessions()
    answers = home.answers()
    assert session.ended is not None and (session.ended - session.started).total_seconds() >= 120
    # A round that begins while the tool speaks is heard from the middle; that one is never held to be right.
    assert {answer.value for answer in answers if answer.verdict == "right"} == {5571}
    assert page.desk.locator("#answers li").count() == len(answers)
    _no_trouble(page)


def test_a_reload_in_the_middle_of_an_answer(household, visit):
    """A girl of nine is answering when the screen is reloaded: half an answer is none, and she is asked again."""
    words = "two one one seven"
    sound = _number("2179", words)
    home = _household(household, words)
    page = visit(home)
    page.touch()
    page.start()
    page.sign("turn", SLOW)
    page.say(sound)
    page.screen.wait_for_function(
        "() => [...document.getElementById('bars').getAttribute('d').matchAll(/v([0-9.]+)/g)].some((m) => m[1] > 15)",
        timeout=SLOW * 1000,
    )
    page.screen.reload()
    page.touch()
    page.spoke(SLOW)
    page.sign("turn", SLOW)
    page.say(sound)
    answers = page.heard(1, SLOW)
    assert [(answer.verdict, answer.value) for answer in answers] == [("right", 2117)]
    page.desk.reload()
    page.desk.locator("#answers li").first.wait_for()
    assert page.answers_on_desk()[0].startswith("Right")
    _no_trouble(page)


def test_silence_talk_and_the_parents_word(household, visit):
    """A boy of six says nothing, then something else, then another number, which the parent takes for right."""
    words, other = "seven three four two", "two eight nine one"
    home = _household(household, words, patience=3)
    page = visit(home)
    page.touch()
    page.start()
    page.sign("turn", SLOW)
    silent = page.heard(1, SLOW)[0]
    assert (silent.verdict, silent.response_seconds) == ("unclear", None)
    page.screen.wait_for_selector("body[data-sign=again]", timeout=SLOW * 1000)
    page.sign("turn", SLOW)
    page.say(_talk("0003"))
    talk = page.heard(2, SLOW)[1]
    assert talk.verdict == "unclear" and talk.response_seconds is not None
    page.screen.wait_for_selector("body[data-sign=again]", timeout=SLOW * 1000)
    page.sign("turn", SLOW)
    page.say(_number("0003", other))
    page.heard(3, SLOW)
    page.press("Right")
    page.desk.get_by_text("You: right.").wait_for(timeout=SLOW * 1000)
    wrong = home.answers()[2]
    assert (wrong.verdict, wrong.value, wrong.override, wrong.final) == ("wrong", 2891, "right", "right")
    assert "wrong" not in page.screen.locator("body").inner_text().lower()
    _no_trouble(page)


def test_two_recorded_children_take_turns_and_are_kept_apart(household, visit, tmp_path):
    """A girl and a boy of six; the sound of the boy's answers is kept, because his parent turned that on."""
    (tmp_path / "home").mkdir()
    with open_record(tmp_path / "home" / "record.sqlite3") as record:
        for name in ("Wren", "Finn"):
            child = record.add_child(name, at=datetime(2026, 3, 2, tzinfo=UTC))
        record.set_audio_days(child, 7)
    words = "two two eight seven"
    home = _household(household, words, turns=["Finn"])
    page = visit(home)
    page.touch()
    page.start()
    said = {"Wren": ("0006", "five two four seven"), "Finn": ("0005", words)}
    for count in range(1, 4):
        page.sign("turn", SLOW)
        whose = page.screen.locator("#seats").get_attribute("aria-label").removesuffix("'s turn")
        page.say(_number(*said[whose]))
        page.heard(count, SLOW)
        page.screen.wait_for_function("() => document.body.dataset.sign !== 'turn'")
    answers = home.answers()
    with open_record(home.home / "record.sqlite3") as record:
        names = {child.id: child.name for child in record.children()}
    assert [(names[one.child], one.value) for one in answers] == [("Wren", 5247), ("Finn", 2287), ("Wren", 5247)]
    assert [bool(one.recording) for one in answers] == [False, True, False]
    (kept,) = home.home.rglob("*.flac")
    assert len(load(kept)) > 16_000
    _no_trouble(page)
