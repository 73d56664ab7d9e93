"""A folder of recordings tells what was asked by its names; a name that does not is refused in one line."""

import pytest

from sayit import SayitError
from sayit.hearing.endpoint import EndRule
from sayit.sitting.answers import RecordedEars, given_by, read_folder


def fill(folder, *names):
    for name in names:
        (folder / name).write_bytes(b"")
    return folder


def listened(ears, question, attempt, *, interrupted=False):
    return ears.listen(question, attempt, lambda: interrupted, lambda samples: None, lambda heard: False)


def test_names_tell_number_form_way_and_try(tmp_path):
    fill(
        tmp_path,
        "45-explicit.wav",
        "45-explicit-2.FLAC",
        "7-plain.ogg",
        "63-plain-other.wav",
        "notes.txt",
        "120-plain.wav",
    )
    read = read_folder(tmp_path)
    assert [entry.question.key for entry in read] == [
        "free/say-back:plain/7",
        "free/say-back:explicit/45",
        "free/other-way:plain/63",
        "free/say-back:plain/120",
    ]
    assert [file.name for file in read[1].files] == ["45-explicit.wav", "45-explicit-2.FLAC"]


@pytest.mark.parametrize(
    ("names", "clue"),
    [
        ((), "45-explicit.wav"),
        (("notes.txt",), "45-explicit.wav"),
        (("forty.wav",), "forty.wav"),
        (("45.wav",), "45-explicit.wav"),
        (("45-fancy.wav",), "45-fancy.wav"),
        (("-5-plain.wav",), "-5-plain.wav"),
        (("1000000-plain.wav",), "above"),
        (("45-plain-2.wav",), "missing"),
        (("45-plain.wav", "45-plain-3.wav"), "missing"),
        (("45-plain.wav", "45-plain.ogg"), "same try"),
        (("45-plain.wav", "45-plain-1.wav"), "same try"),
        (("\u0664\u0665-plain.wav",), "45-explicit.wav"),
    ],
)
def test_a_folder_that_tells_nothing_is_refused(tmp_path, names, clue):
    with pytest.raises(SayitError) as told:
        read_folder(fill(tmp_path, *names))
    assert clue in str(told.value) and "\n" not in str(told.value)


def test_no_folder_is_refused(tmp_path):
    with pytest.raises(SayitError, match="No such folder"):
        read_folder(tmp_path / "none")
    (tmp_path / "file").touch()
    with pytest.raises(SayitError, match="No such folder"):
        read_folder(tmp_path / "file")


def test_each_try_plays_its_own_file_and_more_tries_the_last(tmp_path, spoken):
    for name, text in (("45-plain.wav", "forty five"), ("45-plain-2.wav", "one hundred and twenty three")):
        (tmp_path / name).write_bytes(spoken(text).read_bytes())
    recorded = read_folder(tmp_path)
    ears = RecordedEars(recorded, EndRule())
    question = recorded[0].question
    assert given_by(recorded).tries == {str(question.key): 2}
    lengths = [len(listened(ears, question, attempt).samples) for attempt in (1, 2, 3)]
    assert lengths[0] < lengths[1] == lengths[2]
    assert listened(ears, question, 1, interrupted=True) is None


def test_a_recording_that_is_no_sound_is_told_with_its_name(tmp_path):
    recorded = read_folder(fill(tmp_path, "45-plain.wav"))
    with pytest.raises(SayitError, match=r"45-plain\.wav"):
        listened(RecordedEars(recorded, EndRule()), recorded[0].question, 1)
