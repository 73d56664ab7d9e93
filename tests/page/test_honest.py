"""What goes wrong is told to the parent, costs no answer and is never held against the child."""

from sayit.sound.audio import load
from sayit.speaking.recordings import name_file
from tests.page.conftest import timed
from tests.page.test_sitting import SLOW


def test_a_microphone_that_goes_and_comes_back(household, visit, voice):
    home = household(child="Pip", low=45, high=45, forms=["plain"], ways=["say-back"], quiet=0.8, patience=60)
    page = visit(home)
    page.touch()
    page.start()
    page.sign("turn", SLOW)
    page.screen.evaluate("() => window.pullOut()")
    page.sign("adult", SLOW)
    page.desk.get_by_text("plug the microphone in").first.wait_for()
    page.desk.get_by_text("From here on you judge.").wait_for()
    page.press("Right")
    (answer,) = page.heard(1, SLOW)
    assert (answer.verdict, answer.judged_by) == ("right", "parent")
    page.screen.evaluate("() => navigator.mediaDevices.dispatchEvent(new Event('devicechange'))")
    page.desk.get_by_text("The microphone is back.").wait_for(timeout=SLOW * 1000)
    if page.screen.locator("body").get_attribute("data-sign") == "adult":
        page.press("does not count")
    page.sign("turn", SLOW)
    page.say(voice("forty-five"))
    assert page.heard(2, SLOW)[1].judged_by == "listener"


def test_without_a_recogniser_the_parent_judges(household, visit, voice, tmp_path):
    """A model folder that is no model: the recogniser cannot be loaded."""
    broken = tmp_path / "models" / "broken"
    for name in ("am/final.mdl", "graph/HCLG.fst", "conf/mfcc.conf"):
        (broken / name).parent.mkdir(parents=True, exist_ok=True)
        (broken / name).write_bytes(b"")
    home = household("--listener", "broken", environment={"SAYIT_MODELS": str(broken.parent)},
                     child="Pip", low=45, high=45, ways=["say-back"], quiet=0.8)  # fmt: skip
    page = visit(home)
    page.room("Set-up").locator("#parts dd.bad").first.wait_for(timeout=SLOW * 1000)
    page.touch()
    page.start()
    page.sign("turn", SLOW)
    page.say(voice("forty-five"))
    page.sign("adult", SLOW)
    page.press("Right")
    assert page.heard(1, SLOW)[0].judged_by == "parent"


def test_without_a_voice_the_parent_reads(household, visit, voice):
    home = household(child="Pip", low=45, high=45, forms=["plain"], ways=["say-back"], quiet=0.8, voice="no such voice")
    page = visit(home)
    page.desk.get_by_text("called 'no such voice'").first.wait_for(timeout=SLOW * 1000)
    page.touch()
    page.start()
    page.desk.get_by_text("Read it aloud").wait_for(timeout=SLOW * 1000)
    page.press("Go on")
    page.sign("turn", SLOW)
    page.say(voice("forty-five"))
    assert page.heard(1, SLOW)[0].verdict == "right"


def test_a_second_screen_waits_and_can_take_over(household, visit):
    home = household(child="Pip", low=45, high=45, ways=["say-back"], patience=60)
    page = visit(home)
    page.touch()
    second = page.window()
    second.goto(home.origin + "/")
    second.wait_for_selector("body[data-gate=second]")
    page.desk.get_by_text("opened a second time").wait_for()
    page.start()
    page.sign("turn", SLOW)
    second.locator("#touch").click()
    page.screen.wait_for_selector("body[data-gate=second]")
    second.wait_for_selector("body[data-gate=open]")
    second.wait_for_selector("body[data-sign=turn]")
    assert home.answers() == ()


def test_a_start_without_a_child_or_a_screen_says_what_to_do(household, visit):
    home = household()
    page = visit(home)
    page.start()
    page.desk.get_by_text("Add a child first").wait_for()
    page.desk.get_by_label("Add a child").fill("Wren")
    page.desk.get_by_role("button", name="Add", exact=True).click()
    page.screen.close()
    page.room("Set-up").get_by_text("Open the child's screen.").first.wait_for()
    page.desk.reload()
    page.start()
    page.desk.get_by_text("Open the child's screen first.").wait_for()


def test_the_microphone_is_tried_and_played_back(household, visit, voice):
    home = household(child="Pip")
    page = visit(home)
    page.touch()
    page.room("Set-up").get_by_role("button", name="Try the microphone").click()
    page.desk.get_by_text("Say a number now").wait_for()
    page.say(timed(3, (0.3, voice("forty-five"))))
    page.desk.get_by_text("A voice was heard").wait_for(timeout=SLOW * 1000)
    seconds = page.desk.locator("#test-sound").evaluate(
        "async (sound) => { if (sound.readyState < 1) await new Promise((r) => { sound.onloadedmetadata = r; }); return sound.duration; }"
    )
    assert 1 < seconds < 8
    assert list(home.home.rglob("*.wav")) == []


def test_slower_and_louder_are_kept(household, visit):
    home = household(child="Pip", rate=130, volume=0.4)
    page = visit(home)
    page.room("Set-up")
    page.press("Slower")
    page.press("Louder")
    page.desk.get_by_text("115 words a minute, volume 50 %").wait_for()
    page.desk.reload()
    page.desk.get_by_text("115 words a minute, volume 50 %").wait_for()


def test_the_server_ends_and_comes_back(household, visit):
    home = household(child="Pip", low=45, high=45, ways=["say-back"], patience=60)
    page = visit(home)
    page.touch()
    page.start()
    page.sign("turn", SLOW)
    home.close()
    assert home.process.returncode == 130
    page.desk.get_by_text("does not answer").wait_for()
    page.screen.get_by_text("Waiting for sayit").wait_for()
    (session,) = home.sessions()
    assert session.ended is not None


def test_the_parents_own_voice_is_recorded_word_after_word(household, visit, voice, tmp_path):
    """At the desk's own microphone; what was not kept is nowhere."""
    home = household(child="Pip")
    page = visit(home)
    page.screen.close()
    desk = page.room("Set-up")
    folder = tmp_path / "prompts" / "recorded" / "words"
    desk.get_by_text("Number words: 0 of 31.").wait_for()
    desk.get_by_role("button", name="Hear and say “zero”").click()
    for word in ("zero", "one"):
        desk.get_by_text(f"Say now: “{word}”").wait_for(timeout=SLOW * 1000)
        page.say(timed(3, (0.3, voice(word))), desk)
        desk.get_by_text(f"That was “{word}”.").wait_for(timeout=SLOW * 1000)
        assert not (folder / f"{word}.wav").exists()
        assert desk.evaluate("() => document.activeElement.id") == "keep-next"
        if word == "zero":
            desk.keyboard.press("Enter")
    assert any("/sound/desk-" in url for url in page.asked), "the word was said first"
    desk.get_by_role("button", name="Stop", exact=True).last.click()
    desk.get_by_text("Number words: 1 of 31.").wait_for()
    assert [file.name for file in folder.iterdir()] == ["zero.wav"]
    assert 0.3 < len(load(folder / "zero.wav")) / 16_000 < 3
    assert page.context.request.get(f"{home.origin}/test.wav").status == 404
    assert page.context.request.get(f"{home.origin}/own/words/zero.wav").status == 200
    # It goes on where it was left.
    desk.reload()
    desk.get_by_role("button", name="Hear and say “one”").wait_for()
    # The child's name is among what can be recorded.
    assert desk.locator("#slot option", has_text="Pip").get_attribute("value") == f"names/{name_file('Pip')}"
    desk.get_by_label("To record").select_option("words/zero")
    desk.get_by_role("button", name="Delete", exact=True).click()
    desk.get_by_text("Number words: 0 of 31.").wait_for()
    assert list(folder.iterdir()) == []
    assert page.trouble == []


_REFUSED = "navigator.mediaDevices.getUserMedia = async () => { throw new DOMException('no', 'NotAllowedError'); };"


def test_a_browser_that_may_not_listen_is_told_at_once_and_the_parent_judges(household, visit):
    home = household(child="Pip", low=45, high=45, ways=["say-back"], patience=60)
    page = visit(home, speaking=False)
    page.context.add_init_script(_REFUSED)
    page.screen.reload()
    page.wake()
    page.desk.get_by_text("The browser may not listen: allow the microphone").first.wait_for()
    page.start()
    # It is said aloud all the same, and nothing untrue stands on the desk meanwhile.
    page.sign("adult", SLOW)
    desk = page.desk.locator("body").inner_text()
    assert "From here on you judge." in desk and "screen is closed" not in desk and "Resting" not in desk
    page.press("Right")
    (answer,) = page.heard(1, SLOW)
    assert (answer.verdict, answer.judged_by) == ("right", "parent")
    page.press("Stop")
    page.desk.wait_for_selector("#after:not([hidden])", timeout=SLOW * 1000)
    assert any(url.split("/")[-1] == "1.wav" for url in page.asked), "the greeting was played"
