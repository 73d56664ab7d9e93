"""Another program holds the record in mid-sitting: no answer is lost, and the parent sees it."""

from contextlib import suppress

import pytest

from sayit.sitting.events import Caught, Corrected, Judged, Notice
from tests.holding import Holder
from tests.sitting.conftest import W


@pytest.mark.parametrize("at", [Caught, Judged, Corrected], ids=["answer", "correction", "end"])
def test_what_was_answered_waits_until_the_record_is_free(prepare, at):
    """Held by a real second program: while an answer is kept, while it is corrected, and while the sitting ends."""
    holders, told = [], []

    def watch(event):
        told.append(type(event).__name__)
        if isinstance(event, at) and not holders:
            holders.append(Holder(sitting.record.path))
            holders[0].take()
        if isinstance(event, Notice) and event.kind == "record-busy" and "close it" in event.text:
            # Nothing is told as judged that is not in the record.
            assert told.count("Judged") == len(sitting.answers)
            holders[0].let_go()

    sitting = prepare(says=["four ten five"], press={"Judged": [W]}, watch=watch)
    finished = sitting.play()
    (answer,) = sitting.answers
    assert (answer.verdict, answer.override) == ("right", "wrong")
    assert finished.answers == (answer,)
    waits, free = [event.text for event in sitting.named("Notice")]
    assert "waits" in waits and "Nothing was lost" in free
    assert sitting.record.sessions()[0].ended is not None


def test_the_first_ctrl_c_waits_for_the_record_too(prepare, monkeypatch):
    """An answer that waits is kept before the program ends."""
    from sayit.sitting import patience

    holder, slept = [], []

    def sleep(seconds):
        slept.append(seconds)
        if len(slept) == 1:
            raise KeyboardInterrupt

    monkeypatch.setattr(patience.time, "sleep", sleep)

    def watch(event):
        if isinstance(event, Caught):
            holder.append(Holder(sitting.record.path))
            holder[0].take()
        if isinstance(event, Notice) and "Ctrl-C" in event.text:
            holder[0].let_go()

    sitting = prepare(says=["four ten five"], watch=watch)
    with suppress(KeyboardInterrupt):
        sitting.play()
        raise AssertionError("Ctrl-C was lost")
    assert [answer.verdict for answer in sitting.answers] == ["right"]
    assert sitting.record.sessions()[0].ended is not None
