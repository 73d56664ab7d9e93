"""Recordings are kept only with consent, only so long, and go when consent goes."""

import os
import time
from datetime import timedelta

import numpy as np
import pytest
import soundfile

from sayit import SayitError
from sayit.store import delete_expired, keep_sound, sound_file
from sayit.store.sounds import folder
from tests.store.conftest import NOON

SOUND = (np.sin(np.arange(16_000) * 0.1) * 0.3).astype(np.float32)


def files(record):
    return sorted(folder(record).rglob("*.flac"))


def test_without_consent_nothing_is_kept(record, make_answer):
    kept = record.keep(make_answer())
    assert keep_sound(record, kept, SOUND) == kept
    assert files(record) == [] and record.answers() == (kept,)


def test_with_consent_the_sound_is_beside_the_record_for_its_owner(record, make_answer):
    pip = record.set_audio_days(record.child("Pip"), 7)
    assert record.child("Pip") == pip and pip.keep_audio_days == 7
    kept = keep_sound(record, record.keep(make_answer()), SOUND)
    assert record.answers() == (kept,)
    (file,) = files(record)
    assert file == folder(record) / kept.recording == sound_file(record, kept)
    assert file.stat().st_mode & 0o077 == 0
    samples, rate = soundfile.read(file)
    assert rate == 16_000 and np.allclose(samples, SOUND, atol=1e-4)


def test_it_is_deleted_after_the_days(record, make_answer):
    record.set_audio_days(record.child("Pip"), 7)
    early = keep_sound(record, record.keep(make_answer(0)), SOUND)
    late = keep_sound(record, record.keep(make_answer(judged_at=NOON + timedelta(days=3))), SOUND)
    assert delete_expired(record, NOON + timedelta(days=6)) == 0
    assert delete_expired(record, NOON + timedelta(days=8)) == 1
    assert files(record) == [folder(record) / late.recording]
    assert [answer.recording for answer in record.answers()] == [None, late.recording]
    assert record.answers()[0].id == early.id, "the answer itself stays"


def test_turning_it_off_deletes_what_there_is(record, make_answer):
    pip = record.set_audio_days(record.child("Pip"), 7)
    keep_sound(record, record.keep(make_answer()), SOUND)
    record.set_audio_days(pip, 0)
    assert delete_expired(record, NOON) == 1
    assert files(record) == [] and record.answers()[0].recording is None


def test_a_file_that_no_answer_names_goes_but_not_while_it_may_be_written(record, make_answer):
    record.set_audio_days(record.child("Pip"), 7)
    kept = keep_sound(record, record.keep(make_answer()), SOUND)
    stray = (folder(record) / kept.recording).with_name("stray.flac")
    stray.write_bytes(b"fLaC")
    assert delete_expired(record, NOON) == 0
    hour_ago = time.time() - 3600
    os.utime(stray, (hour_ago, hour_ago))
    assert delete_expired(record, NOON) == 1
    assert files(record) == [folder(record) / kept.recording]


@pytest.mark.parametrize("days", [-1, 366])
def test_days_have_a_limit(record, days):
    with pytest.raises(SayitError, match="365"):
        record.set_audio_days(record.child("Pip") or record.add_child("Pip", at=NOON), days)


@pytest.mark.parametrize("form", ["{}", "../{}", "1/../../{}"])
def test_a_path_that_is_no_recording_of_ours_is_never_deleted(record, make_answer, tmp_path, form):
    theirs = tmp_path / "letter.flac"
    theirs.write_text("somebody's own")
    named = form.format(theirs if form == "{}" else theirs.name)
    folder(record).joinpath("1").mkdir(parents=True)
    assert sound_file(record, record.keep(make_answer(recording=named))) is None, "nor is it handed out"
    assert delete_expired(record, NOON + timedelta(days=400)) == 0
    assert theirs.read_text() == "somebody's own"
    assert record.answers()[0].recording is None, "and it is named no more"
