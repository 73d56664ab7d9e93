"""What holds for one child, set at the desk: step, steps passed over, time, largest number, forms, recordings."""

from sayit.practice.path import load_path
from sayit.store import open_record
from tests.page.test_sitting import SLOW


def test_a_child_is_started_anywhere_from_the_desk(household, visit):
    home = household(child="Pip", plan=True, patience=60)
    page = visit(home)
    desk = page.room("Child")
    desk.get_by_text("Pip on the path").wait_for(timeout=SLOW * 1000)
    desk.get_by_label("Goes on at this step").select_option("hundreds")
    desk.get_by_text("Steps to pass over").first.click()
    desk.get_by_label(load_path()["ten-tens"].title, exact=True).check()
    desk.get_by_label("Time to answer").select_option("1.5")
    desk.locator("#limit").fill("700")
    desk.get_by_label("Tens name (four-ten five)").uncheck()
    desk.get_by_label("Keep what this child answers").check()
    desk.get_by_label("Delete after days").fill("14")
    assert "personal data" in desk.locator("#recorded-note").inner_text()
    desk.get_by_role("button", name="Keep for Pip").click()
    desk.get_by_text("Kept: Pip goes on at").wait_for()
    desk.get_by_text("Pip is at “Hundreds”").wait_for()
    with open_record(home.home / "record.sqlite3") as record:
        (placed,) = record.placements(record.child("Pip"))
        assert (placed.step, placed.skipped, placed.pace, placed.limit) == ("hundreds", ("ten-tens",), 1.5, 700)
        assert record.child("Pip").keep_audio_days == 14
    # What is refused is told beside the form, and nothing is lost.
    desk.locator("#skipped").get_by_label("Hundreds", exact=True).check()
    desk.get_by_role("button", name="Keep for Pip").click()
    desk.locator("#kept", has_text="take it out of the steps passed over").wait_for()
    # The sitting asks there, and in the one form only.
    desk.reload()
    page.touch()
    page.start()
    for count in range(1, 4):
        page.screen.wait_for_selector("body[data-sign=turn], body[data-sign=hands]", timeout=SLOW * 1000)
        page.press("Right")
        page.heard(count, SLOW)
        page.screen.wait_for_selector("body[data-sign=speaks]", timeout=SLOW * 1000)
    answers = home.answers()
    slugs = load_path(700).slugs
    assert max(slugs.index(answer.step) for answer in answers) <= slugs.index("hundreds")
    assert all(answer.form != "explicit" and answer.step != "ten-tens" for answer in answers)
    assert page.trouble == []
