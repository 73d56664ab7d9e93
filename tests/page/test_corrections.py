"""The parent's own word: late presses go to the answer they were meant for, and any line can be changed later."""

import re
from contextlib import suppress
from pathlib import Path

from sayit.sound.audio import save
from sayit.speaking.recordings import name_file
from tests.page.conftest import timed
from tests.page.test_sitting import SLOW


def test_a_judgement_never_marks_another_number(household, visit):
    home = household(child="Pip", low=3, high=9, ways=["say-back"], patience=60)
    page = visit(home)
    page.touch()
    page.start()
    desk = page.desk
    right = desk.locator(".judge [data-choice=right]")
    first = None
    for count in (1, 2):
        page.sign("turn", SLOW)
        # What the button names is what is asked.
        desk.get_by_text(f"Question {count}").wait_for()
        desk.locator(f".judge [data-choice=right]:not([data-about='']):not([data-about='{first}'])").wait_for()
        value = right.inner_text().partition(":")[0]
        first = first or right.get_attribute("data-about")
        assert f"wanted is {value}," in desk.locator("#wanted").inner_text()
        if count == 1:
            right.click()
            page.heard(1, SLOW)
    # A press that was meant for the first question arrives while the second one is open.
    desk.evaluate(
        """about => new Promise((done) => {
            const line = new WebSocket(`ws://${location.host}/desk-line`);
            line.onopen = () => { line.send(JSON.stringify({ kind: "choice", choice: "wrong", about })); };
            line.onmessage = ({ data }) => { if (data.includes("told")) done(line.close()); };
        })""",
        int(first),
    )
    desk.get_by_text("You: not right.").wait_for()
    (answer,) = home.answers()
    assert (answer.verdict, answer.override) == ("right", "wrong")
    # The same by hand: taken back, then left out, also after the sitting.
    line = desk.locator("#answers li").first
    line.locator("summary").click()
    line.get_by_role("button", name="take back").click()
    desk.get_by_text("You: not right.").wait_for(state="detached")
    assert home.answers()[0].override is None
    page.press("Stop")
    desk.wait_for_selector("#after:not([hidden])", timeout=SLOW * 1000)
    line.get_by_role("button", name="does not count").click()
    desk.get_by_text("You: this one does not count.").wait_for()
    assert home.answers()[0].override == "skip"
    assert desk.locator("#counts").inner_text() == "Set aside by you: 1"
    assert page.trouble == []


def _restore(desk, file, told):
    if desk.locator("#restore").is_hidden():
        desk.get_by_text("Put a backup back").click()
    desk.get_by_label("The file of the backup").set_input_files(file)
    desk.get_by_label("Let it replace all").check()
    desk.get_by_role("button", name="Restore").click()
    desk.locator("#restored", has_text=told).wait_for()


def _spoken_to_the_desk(page, samples):
    """Press "Say a number" as soon as nothing is said any more, and say it."""
    from playwright.sync_api import TimeoutError as Unseen

    desk = page.desk
    desk.evaluate(
        "() => { const stop = MediaStreamTrack.prototype.stop; MediaStreamTrack.prototype.stop = function () { window.ended = true; stop.call(this); }; }"
    )
    begun = False
    while not begun:
        # Refused while something is said; pressed twice it would wait for the end of what the first press began.
        desk.get_by_role("button", name="Say a number").click()
        with suppress(Unseen):
            desk.get_by_text("Say a number now").wait_for(timeout=2000)
            begun = True
    page.say(timed(3, (0.3, samples)), desk)


def test_a_sitting_in_one_window_and_what_the_desk_gives(household, visit, voice, tmp_path):
    """From the open desk: a name, one press, one touch."""
    page = visit(household())
    page.screen.close()
    desk = page.desk
    desk.get_by_label("Counts to about").first.fill("12")
    desk.get_by_label("Add a child").fill("Wren")
    desk.keyboard.press("Enter")
    desk.get_by_text("Wren. More in the room").wait_for()
    # Between, and it may be left out: the desk itself is heard and listens, and gives the microphone back.
    with desk.expect_response("**/sound/desk-1.wav"):
        desk.get_by_role("button", name="Hear the voice").click()
    _spoken_to_the_desk(page, voice("forty-five"))
    desk.get_by_text("A voice was heard: “forty five”").wait_for(timeout=SLOW * 1000)
    desk.wait_for_function("() => window.ended", timeout=SLOW * 1000)
    desk.get_by_role("button", name="Start in this window").click()
    desk.wait_for_url("**/")
    page.screen = desk
    page.wake()
    page.sign("speaks", SLOW)
    page.screen.goto(page.home.origin + "/desk")
    torn = tmp_path / "torn.sqlite3"
    torn.write_bytes(b"no backup")
    page.room("Child")
    _restore(desk, torn, "A sitting goes on")
    page.room("Today")
    desk.get_by_role("button", name="Stop").click()
    desk.wait_for_selector("#after:not([hidden])", timeout=SLOW * 1000)

    page.room("Child")
    with desk.expect_download() as handed:
        desk.locator("a[href='/papers/sheet.pdf']").click()
    assert handed.value.suggested_filename == "wren-sheet.pdf"
    assert handed.value.path().read_bytes().startswith(b"%PDF")
    with desk.expect_download() as handed:
        desk.get_by_role("link", name="Back up").click()
    backup = tmp_path / handed.value.suggested_filename
    handed.value.save_as(backup)
    assert backup.read_bytes().startswith(b"SQLite format 3")

    names = tmp_path / "prompts" / "recorded" / "names"
    names.mkdir(parents=True)
    wren, newt = (names / f"{name_file(name)}.wav" for name in ("Wren", "Newt"))
    save(voice("forty-five"), wren)
    desk.get_by_label("Another name").fill("Newt")
    desk.get_by_role("button", name="Rename").click()
    desk.get_by_text("The name is Newt now.").wait_for()
    desk.get_by_text("Newt on the path").wait_for()
    assert not wren.exists()
    save(voice("forty-five"), newt)
    # A damaged backup changes nothing; a whole one replaces the record, which can be had back by the line that tells it.
    torn.write_bytes(backup.read_bytes()[:5_000])
    _restore(desk, torn, "The file is no backup that can be restored, nothing was changed: it is damaged")
    assert desk.locator("#arranged-title").inner_text() == "Newt on the path"
    _restore(desk, backup, "Restored: Wren.")
    desk.get_by_text("Wren on the path").wait_for()
    kept = re.search(r"is kept as (\S+);", desk.locator("#restored").inner_text())[1]
    page.room("Today").locator("#after").wait_for(state="hidden")
    _restore(page.room("Child"), Path(kept), "Restored: Newt.")
    desk.get_by_text("Newt on the path").wait_for()
    desk.get_by_text("Delete all of this child").click()
    desk.locator("#typed").fill("Wren")
    desk.get_by_role("button", name="Delete for good").click()
    desk.locator("#told", has_text="Nothing was deleted").wait_for()
    desk.locator("#typed").fill("newt")
    desk.get_by_role("button", name="Delete for good").click()
    desk.locator("#told", has_text=f"Newt is still in {kept}").wait_for(state="attached")
    page.room("Today").get_by_text("Three steps").wait_for()
    assert not newt.exists()
    assert page.trouble == []
