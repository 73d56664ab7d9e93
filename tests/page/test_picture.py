"""The number picture on the child's screen: what lights up, when, and that nothing on it has to be read."""

import re
import signal

import numpy as np
from playwright.sync_api import expect

from sayit.page.senses import _lights
from sayit.sound.audio import RATE
from sayit.speaking.utterance import Part, Piece, Utterance, number
from sayit.speaking.voice import VoiceSettings, open_voice
from tests.page.conftest import FAST
from tests.page.test_access import RULES, _check, axe
from tests.page.test_sitting import SLOW, _no_trouble

__all__ = ["RULES", "axe"]


_ALL_AT_ONCE = """() => {
    const parts = [...document.querySelectorAll("#asked .part")];
    return parts.length === 2 && parts.every((part) => part.classList.contains("lit") && !part.dataset.lit);
}"""


def _lit(page) -> dict[str, float]:
    """When each part of the number asked lit up, in seconds of its sound."""
    return page.screen.evaluate(
        "() => Object.fromEntries([...document.querySelectorAll('#asked [data-lit]')]"
        ".map((part) => [part.dataset.place, parseFloat(part.dataset.lit)]))"
    )


def _heard_by(page, place: str) -> None:
    page.screen.wait_for_selector(f"#asked [data-place={place}][data-lit]", state="attached", timeout=SLOW * 1000)


def test_parts_light_up_as_they_are_spoken_and_nothing_has_to_be_read(household, visit, voice, axe):
    home = household(child="Pip", low=45, high=45, forms=["explicit"], ways=["say-back"], quiet=0.8, patience=60)
    page = visit(home)
    page.touch()
    page.start()
    machine = open_voice(VoiceSettings(rate=FAST["rate"], volume=FAST["volume"]), aloud=False)
    tens, ones = machine.render(number("four-ten five")).parts
    page.sign("turn", SLOW)
    page.say(voice("five-ten four"))
    page.nodded(SLOW)
    page.heard(1, SLOW)
    _heard_by(page, "ones")
    # What is in sight now stays.
    home.process.send_signal(signal.SIGSTOP)
    lit = _lit(page)
    assert list(lit) == ["tens", "ones"]
    assert abs(lit["tens"] - tens.start) <= 0.15 and abs(lit["ones"] - ones.start) <= 0.15, (lit, tens, ones)
    # The child's own number stands beside it, and every part has its digit.
    own, asked = (page.screen.locator(f"#{name} .digit").all_text_contents() for name in ("own", "asked"))
    assert ("".join(own), "".join(asked)) == ("54", "45")
    things = page.screen.locator("#asked use").evaluate_all("uses => uses.map((use) => use.getAttribute('href'))")
    assert (things.count("#tens"), things.count("#ones")) == (4, 5)
    _check(axe, page.screen)
    home.process.send_signal(signal.SIGCONT)
    # A letter of the parent's does nothing here, and what there is to read are digits.
    page.screen.keyboard.press("q")
    page.sign("turn", SLOW)
    page.screen.keyboard.press("w")
    seen = page.screen.evaluate(
        "() => [...document.querySelectorAll('body *:not(.unseen)')].filter((one) => one.checkVisibility())"
        ".flatMap((one) => [...one.childNodes]).filter((one) => one.nodeType === 3).map((one) => one.data.trim()).join('')"
    )
    assert not re.search(r"[A-Za-z]", seen)
    assert len(home.answers()) == 1, home.answers()[1]
    # A touch opens nothing, a long one the parent's drawer; the same by keyboard.
    held, drawer = page.screen.locator("#to-desk"), page.screen.locator("#drawer")
    held.click()
    held.focus()
    page.screen.keyboard.press("Enter")
    expect(page.screen.locator("#hint")).to_be_visible()
    expect(drawer).to_be_hidden()
    page.screen.evaluate(
        "() => { const now = performance.now.bind(performance); performance.now = () => now() * 1000; }"
    )
    held.click(delay=50)
    for scheme in ("dark", "light"):
        page.screen.emulate_media(color_scheme=scheme)
        drawer.get_by_role("button", name="45: right").wait_for()
        _check(axe, page.screen)
    # After a pause the open question is asked anew, and nothing was judged meanwhile.
    drawer.get_by_role("button", name="Pause").click()
    page.sign("rest", SLOW)
    drawer.get_by_role("button", name="Go on").click()
    expect(drawer).to_be_hidden()
    page.sign("speaks", SLOW)
    page.sign("turn", SLOW)
    assert len(home.answers()) == 1, home.answers()[1]
    # The desk has the same two buttons.
    held.click(delay=50)
    page.press("Pause")
    page.sign("rest", SLOW)
    page.press("Go on")
    page.sign("speaks", SLOW)
    page.sign("turn", SLOW)
    page.screen.keyboard.press("Escape")
    expect(drawer).to_be_hidden()
    # A judgement goes to the number that the drawer was opened for.
    held.click(delay=50)
    drawer.get_by_role("button", name="45: not right").click()
    expect(drawer).to_be_hidden()
    assert page.heard(2, SLOW)[1].judged_by == "parent"
    held.focus()
    page.screen.keyboard.press("Enter", delay=50)
    with page.context.expect_page() as opened:
        drawer.get_by_role("button", name="The whole desk").click()
    assert opened.value.url.endswith("/desk")
    opened.value.close()
    held.click(delay=50)
    drawer.get_by_role("button", name="Stop").click()
    page.sign("bye", SLOW)
    expect(page.screen.locator("#way .leaf")).to_have_count(2)
    _check(axe, page.screen)
    _no_trouble(page)


def test_an_everyday_name_lights_word_by_word(household, visit):
    home = household(child="Pip", low=305, high=305, forms=["plain"], ways=["build"])
    page = visit(home)
    page.touch()
    page.start()
    machine = open_voice(VoiceSettings(rate=FAST["rate"], volume=FAST["volume"]), aloud=False)
    parts = machine.render(number("three hundred five", mark=",")).parts
    page.sign("hands", SLOW)
    for sign in ("3", "5", "Enter"):
        page.screen.keyboard.press(sign)
    page.heard(1, SLOW)
    _heard_by(page, "ones")
    lit = _lit(page)
    assert list(lit) == ["hundreds", "tens", "ones"] and list(lit.values()) == sorted(lit.values())
    assert abs(lit["hundreds"] - parts[0].start) <= 0.15 and lit["hundreds"] < lit["tens"]
    assert lit["ones"] <= parts[-1].end + 0.15
    # The empty place can be seen.
    assert page.screen.locator("#asked [data-place=tens] .dish").count() == 1
    assert "".join(page.screen.locator("#own .digit").all_text_contents()) == "35"
    _no_trouble(page)


def test_each_of_two_numbers_lights_with_its_own_words():
    """Voices part an everyday name as finely as they can."""
    names = ("three hundred five", "four-ten six")
    pieces = (Piece("Which is more:"), Piece(names[0], "number"), Piece("or"), Piece(names[1], "number", mark="?"))
    after = (Part("four-ten", 2.0, 2.5), Part("six", 2.8, 3.1))
    whole, fine = (Part(names[0], 1.0, 1.8),), (Part("three hundred", 1.0, 1.6), Part("five", 1.6, 1.8))
    for first in (whole, fine):
        assert [
            (light.number, light.place, light.start) for light in _lights(Utterance("", pieces), first + after)
        ] == [
            (305, "hundreds", 1.0),
            (305, "tens", 1.6),
            (305, "ones", 1.6),
            (46, "tens", 2.0),
            (46, "ones", 2.8),
        ]


_GROWN = """
document.addEventListener("DOMContentLoaded", () => {
  window.grown = [];
  const note = () => window.grown.push(document.querySelector("#grown svg")?.dataset.number ?? "");
  new MutationObserver(note).observe(document.getElementById("grown"), { childList: true });
});
"""


def test_a_number_grows_while_it_is_said_and_another_is_built_by_touch_and_by_key(household, visit, voice, axe):
    home = household(child="Pip", low=45, high=45, forms=["explicit"], ways=["grow", "things"], quiet=1.2, patience=60)
    page = visit(home)
    page.screen.add_init_script(_GROWN)
    page.screen.reload()
    page.touch()
    page.start()
    page.sign("turn", SLOW)
    _check(axe, page.screen)
    page.say(np.concatenate([voice("four-ten"), np.zeros(int(0.6 * RATE), np.float32), voice("five")]))
    page.nodded(SLOW)
    # Four tens came first, then the ones; the verdict is that of the whole answer.
    grown = page.screen.evaluate("() => window.grown.filter((number) => number)")
    assert "40" in grown and grown[-1] == "45" and grown.index("40") < grown.index("45"), grown
    assert page.heard(1, SLOW)[0].verdict == "right"
    page.sign("hands", SLOW)
    screen, column = page.screen, lambda place: page.screen.locator(f"#tray [data-place={place}]")
    for _ in range(3):
        screen.get_by_role("button", name="One ten more").click()
    one = screen.get_by_role("button", name="One one more")
    one.focus()
    for _ in range(14):
        screen.keyboard.press("Enter")
    one.drag_to(screen.locator("#tray .frame"))
    assert column("ones").get_attribute("aria-label") == "ones in the frame: 15"
    _check(axe, page.screen)
    screen.get_by_role("button", name="Tie ten into a ten").click()
    assert [column(place).get_attribute("aria-label") for place in ("tens", "ones")] == [
        "tens in the frame: 4",
        "ones in the frame: 5",
    ]
    screen.get_by_role("button", name="Undo a ten").first.click()
    screen.get_by_role("button", name="Tie ten into a ten").click()
    # Where less motion is wanted all parts are there at once.
    screen.emulate_media(reduced_motion="reduce")
    screen.get_by_role("button", name="That is my number").click()
    answer = page.heard(2, SLOW)[1]
    assert (answer.verdict, answer.built, answer.activity) == ("right", "45", "things")
    # The record is ahead of the screen, where the question's parts, lit one by one, may still stand.
    screen.wait_for_function(_ALL_AT_ONCE, timeout=SLOW * 1000)
    _no_trouble(page)
