"""The practice's own choice: aim, closing questions, tomorrow's plan, report."""

from tests.page.test_sitting import SLOW


def test_aim_before_and_plan_and_report_after(household, visit):
    home = household(child="Pip", plan=True, patience=60)
    page = visit(home)
    page.desk.get_by_text("Today:").wait_for(timeout=SLOW * 1000)
    page.desk.locator("#tomorrow dt").first.wait_for()
    page.touch()
    page.start()
    for count in range(1, 4):
        page.screen.wait_for_selector("body[data-sign=turn], body[data-sign=hands]", timeout=SLOW * 1000)
        page.press("Right")
        page.heard(count, SLOW)
        page.screen.wait_for_selector("body[data-sign=speaks]", timeout=SLOW * 1000)
    assert all(not answer.question.startswith("free/") for answer in home.answers())
    page.press("Stop")
    page.desk.get_by_text("The closing questions were not asked.").wait_for(timeout=SLOW * 1000)
    with page.context.expect_page() as opened:
        page.room("Child").get_by_role("link", name="Report of the last").click()
    report = opened.value
    report.wait_for_load_state()
    assert "Pip" in report.locator("body").inner_text()
    assert report.evaluate("() => getComputedStyle(document.body).fontFamily") != ""
    assert page.trouble == []
