"""The states that take time or another device: loading, sleep, a quarter of an hour, the machine's own sound card."""

import signal
import sys
from pathlib import Path

import pytest

from tests.commands.test_microphone import Card
from tests.page.test_sitting import SLOW

SAME = {"child": "Pip", "low": 45, "high": 45, "forms": ["plain"], "ways": ["say-back"], "quiet": 0.8}


def test_a_first_answer_waits_for_the_recogniser(given_in, visit, voice):
    home = given_in(patience=60, **SAME)
    page = visit(home)
    page.room("Set-up").get_by_text("Loading ...").wait_for()
    page.touch()
    page.start()
    page.sign("turn", SLOW)
    page.say(voice("forty-five"))
    page.sign("heard", SLOW)
    # It is waited for: the parent sees it, the child keeps the sign that it was heard.
    page.room("Set-up").get_by_text("Loading ...").wait_for()
    assert home.answers() == ()
    home.loaded.touch()
    (answer,) = page.heard(1, SLOW)
    signs = page.signs()
    assert signs[signs.index("heard") + 1 :][:1] in ([], ["speaks"])
    assert (answer.verdict, answer.listener) == ("right", "numbers-en")
    page.desk.get_by_text("Ready (numbers-en).").wait_for(state="attached")


def test_a_machine_that_slept_asks_the_open_question_again(given_in, visit, voice):
    """The program is stopped and the time of day goes on, as sleep does, while the child's turn waits."""
    home = given_in(patience=60, **SAME)
    home.loaded.touch()
    page = visit(home)
    page.touch()
    page.start()
    page.next_turn(SLOW)
    page.say(voice("forty-five"))
    page.heard(1, SLOW)
    page.desk.get_by_text("Question 2").wait_for(timeout=SLOW * 1000)
    page.next_turn(SLOW)
    home.process.send_signal(signal.SIGSTOP)
    home.forward(0.5)
    home.process.send_signal(signal.SIGCONT)
    page.desk.get_by_text("The machine slept.").wait_for(timeout=SLOW * 1000)
    # The child sees that the tool speaks again, then that it is its turn again.
    page.sign("speaks", SLOW)
    page.sign("turn", SLOW)
    assert len(home.answers()) == 1, "nothing was judged while it slept"
    page.desk.get_by_text("Question 2").wait_for()
    page.say(voice("forty-five"))
    answers = page.heard(2, SLOW)
    assert [answer.verdict for answer in answers] == ["right", "right"]
    assert page.trouble == []


def test_an_answer_is_heard_though_the_page_was_held_up(household, visit, voice):
    """On a busy machine a page's own work stands still for seconds; its microphone goes on."""
    home = household(child="Pip", low=45, high=45, ways=["say-back"], forms=["explicit"], patience=60)
    page = visit(home)
    page.touch()
    page.start()
    page.sign("turn", SLOW)
    page.say(voice("four-ten five"))
    page.screen.evaluate("() => { const until = performance.now() + 3500; while (performance.now() < until); }")
    page.nodded(SLOW)
    # What exactly was heard hangs on what a browser on a busy machine drops.
    assert page.heard(1, SLOW)[0].response_seconds is not None and page.trouble == []


def test_a_rest_is_suggested_after_a_quarter_of_an_hour(given_in, visit):
    home = given_in(patience=60, minutes=30, **SAME)
    home.loaded.touch()
    page = visit(home)
    page.touch()
    page.start()
    page.sign("turn", SLOW)
    # A pause is none of the sitting's minutes.
    page.press("Pause")
    page.sign("rest", SLOW)
    home.forward(40)
    page.desk.get_by_text("The machine slept.").wait_for(timeout=SLOW * 1000)
    page.press("Go on")
    for minutes, question, rest in ((14, 2, 0), (15.1, 3, 1), (20, 4, 1)):
        page.sign("turn", SLOW)
        home.forward(40 + minutes)
        page.press("does not count")
        page.desk.get_by_text(f"Question {question}").wait_for(timeout=SLOW * 1000)
        assert page.desk.get_by_text("A quarter of an hour is over").count() == rest
    # Seen once it goes, and does not come again.
    page.desk.get_by_role("button", name="Got it: A quarter of an hour").click()
    page.desk.get_by_text("A quarter of an hour is over").wait_for(state="detached")
    page.sign("turn", SLOW)
    page.press("does not count")
    page.desk.get_by_text("Question 5").wait_for(timeout=SLOW * 1000)
    assert page.desk.get_by_text("A quarter of an hour is over").count() == 0
    # The child sees nothing of it: no clock, no word.
    assert "quarter" not in page.screen.locator("body").inner_text()


@pytest.fixture
def card(tmp_path):
    if not sys.platform.startswith("linux") or not Path("/usr/share/alsa/alsa.conf").exists():
        pytest.skip("the card made of a pipe needs ALSA")
    card = Card(tmp_path)
    yield card
    card.close()


def test_the_machines_own_sound_needs_no_browser_sound(household, visit, spoken_file, card):
    """ALSA's file plugin is the card, as in the tests of the terminal; the browser has no microphone at all."""
    home = household(environment={"ALSA_CONFIG_PATH": str(card.settings)}, sound="machine", patience=60, **SAME)
    page = visit(home)
    page.screen.evaluate("() => { navigator.mediaDevices.getUserMedia = () => Promise.reject(new Error('none')); }")
    page.wake()
    page.start()
    verdicts = []
    for count, said in enumerate(("forty-five", "fifty-four"), 1):
        page.sign("turn", SLOW)
        card.say(spoken_file(said))
        # The bars of the child's screen follow the machine's microphone.
        page.screen.wait_for_function(
            "() => [...document.getElementById('bars').getAttribute('d').matchAll(/v([0-9.]+)/g)].some((m) => m[1] > 24)",
            timeout=SLOW * 1000,
        )
        verdicts.append(page.heard(count, SLOW)[-1].verdict)
    assert verdicts == ["right", "wrong"]
    page.press("Stop")
    page.desk.wait_for_selector("#after:not([hidden])", timeout=SLOW * 1000)
    (session,) = home.sessions()
    assert session.source == "microphone" and session.ended is not None
    assert card.heard.stat().st_size > 16_000
