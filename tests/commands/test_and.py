"""Whether numbers are said with "and": set once for the household, said, printed, and right either way in an answer."""

import json
from random import Random

import pytest
from num2words import num2words

from sayit.commands.main import main
from sayit.numbers import FORMS, judge, name
from sayit.practice.path import load_path
from sayit.practice.question import Named, said
from sayit.report.sheet import parts
from sayit.sitting.speaker import Speaker
from sayit.speaking.phrases import open_bank
from sayit.store import open_record
from sayit.store.settings import settings_of


class Mute:
    """A voice that cannot speak: what would be said is only told."""

    trouble = None
    natural = False

    def __bool__(self):
        return False


def test_the_setting_is_kept_and_told(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("SAYIT_HOME", str(tmp_path))
    assert main(["household"]) == 0 and "three hundred two" in capsys.readouterr().out
    assert main(["household", "--and", "yes"]) == 0 and "three hundred and two" in capsys.readouterr().out
    assert main(["household", "--json"]) == 0 and json.loads(capsys.readouterr().out)["and"] is True
    with open_record() as record:
        assert settings_of(record).use_and
    assert main(["reasons"]) == 0 and "wanted three hundred and forty-five:" in capsys.readouterr().out
    assert main(["household", "--and", "no", "--json"]) == 0 and json.loads(capsys.readouterr().out)["and"] is False
    assert main(["household", "--and", "perhaps"]) == 2


def test_the_voice_is_kept_told_and_must_be_there(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("SAYIT_HOME", str(tmp_path))
    assert main(["household", "--voice", "american"]) == 0 and "The voice: American." in capsys.readouterr().out
    assert main(["household", "--voice", "Nobody"]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert "no English voice called 'Nobody': choose one of" in line and "American" in line
    with open_record() as record:
        assert (settings_of(record).voice, settings_of(record).use_and) == ("American", False)


@pytest.mark.parametrize("value", [302, 340, 2_105, 4_030, 8_006])
def test_it_is_said_as_num2words_has_it(value):
    heard = {}
    for use_and in (False, True):
        speaker = Speaker(open_bank(), Mute(), random=Random(1), report=lambda _event: None, use_and=use_and)
        heard[use_and] = speaker.say((said("follow.added-part", number=Named(value)),))
    usual = num2words(value).replace(",", "")
    assert usual in heard[True] and usual.replace(" and ", " ") in heard[False]
    assert Named(value, "digits").said(use_and=True) == Named(value, "digits").words


@pytest.mark.parametrize("form", FORMS)
def test_either_is_right(form):
    for value in (302, 345, 4_030, 8_006, 2_105):
        for use_and in (False, True):
            assert judge(value, form, name(value, form, use_and=use_and)).verdict == "right"


def test_it_is_printed():
    def printed(use_and):
        made = parts(load_path(), "hundreds-inner-zero", Random(1), use_and=use_and)
        return " ".join(task.answer for part in made for task in part.tasks)

    assert " hundred and " in printed(True) and " hundred and " not in printed(False)
