"""The phrase bank: what is said, and the one clear line for a bank that cannot be used."""

import random
import re
from pathlib import Path

import pytest

from sayit.errors import SayitError
from sayit.practice.phrases import PHRASES
from sayit.speaking.phrases import KEYS, RENAMED, open_bank, parse

SHIPPED = Path(__file__).parents[2] / "prompts" / "en.toml"
VALUES = dict.fromkeys({blank for blanks in PHRASES.values() for blank in blanks}, "four-ten five")


@pytest.fixture(scope="module")
def bank():
    return open_bank(SHIPPED)


def draws(bank, key, count=200, **more):
    return {bank.choose(key, random.Random(seed), **VALUES, **more).text for seed in range(count)}


def reworded(key, line):
    """The shipped bank with one phrase replaced by a TOML line (or left out)."""
    whole = SHIPPED.read_text(encoding="utf-8")
    without = re.sub(rf"(?ms)^\"{re.escape(key)}\" = \[.*?\]\n", "", whole)
    assert without != whole
    return without + line + "\n"


def test_the_default_bank_is_the_shipped_one(bank, monkeypatch):
    monkeypatch.delenv("SAYIT_PROMPTS", raising=False)
    assert open_bank() == bank
    monkeypatch.setenv("SAYIT_PROMPTS", str(SHIPPED.parent))
    assert open_bank() == bank


def test_every_wording_of_every_key_is_drawn_and_filled(bank):
    for key in KEYS:
        said = draws(bank, key, child="Pip") | draws(bank, key)
        assert len({words.replace("Pip", "{child}") for words in said}) == len(bank.wordings[key])
        assert not any(mark in words for words in said for mark in "{}")


def test_the_turn_passes_on_by_name(bank):
    assert all("Pip" in said for said in draws(bank, "your-turn", child="Pip"))
    assert draws(bank, "your-turn") == {"Now it's your turn."}
    nameless = parse(reworded("your-turn", 'your-turn = "Your turn."'))
    assert draws(nameless, "your-turn", child="Pip") == {"Your turn."}


def test_a_child_without_a_name_is_never_called_by_one(bank):
    for key in KEYS:
        for said in draws(bank, key):
            assert "  " not in said and " ," not in said and not said.startswith(",")


def test_same_seed_same_wording(bank):
    def pick(seed):
        return [bank.choose("ask.say-back", random.Random(seed), **VALUES).text for _ in range(3)]

    assert pick(4) == pick(4)


def test_what_is_asked_has_more_than_one_wording(bank):
    for key in KEYS:
        if key.startswith(("ask.", "reply.")):
            assert len(bank.wordings[key]) >= 2


@pytest.mark.parametrize("word", ["wrong", "no", "not right", "mistake", "incorrect", "bad", "error", "oops", "fail"])
def test_no_phrase_scolds(bank, word):
    for wordings in bank.wordings.values():
        for wording in wordings:
            assert not re.search(rf"\b{word}\b", wording, re.IGNORECASE)


def test_a_phrase_may_name_the_numbers_of_the_practice_and_no_others():
    for key, blanks in PHRASES.items():
        assert KEYS[key].may == {*blanks, "child"}
        with pytest.raises(SayitError, match=r"may not stand|is unknown"):
            parse(reworded(key, f'"{key}" = "{{answer}} {" ".join(f"{{{blank}}}" for blank in blanks)}"'))


def test_after_another_number_the_answer_is_said(bank):
    for key in KEYS:
        if key.startswith(("reply.model", "reply.other-form")):
            assert all("four-ten five" in said for said in draws(bank, key, child="Pip"))


def test_a_key_may_stand_without_its_quotes(bank):
    whole = SHIPPED.read_text(encoding="utf-8")
    bare = re.sub(r'(?m)^"([a-z.-]+)" =', r"\1 =", whole)
    assert bare != whole and parse(bare) == bank


@pytest.mark.parametrize("former", RENAMED)
def test_a_key_of_an_earlier_bank_is_told_its_name(former):
    with pytest.raises(SayitError) as caught:
        parse(f'{former} = "{{plain}}"')
    assert str(caught.value).startswith(
        f"the phrases: call '{former}' '{RENAMED[former]}'" if RENAMED[former] else f"the phrases: take '{former}' out"
    )
    assert RENAMED[former] in (None, *KEYS) and former not in KEYS


def test_all_keys_of_an_earlier_bank_are_told_in_one_line():
    with pytest.raises(SayitError) as caught:
        parse('hello = "Hello."\nrest = "Rest."\nask-back = "{number}."')
    assert str(caught.value) == (
        "the phrases: call 'hello' 'session.hello' now; take 'rest' out, it is no longer said; "
        "call 'ask-back' 'ask.say-back' now."
    )


def test_parts_are_text_and_number_with_a_slot_for_the_parents_voice():
    bank = parse(reworded("ask.say-back", '"ask.say-back" = "Listen: {number}. Now you."'))
    said = bank.choose("ask.say-back", random.Random(0), number="five")
    assert [(part.words, part.kind, part.slot, part.mark, part.ends) for part in said.pieces] == [
        ("Listen:", "text", "ask.say-back-1a", "", "breath"),
        ("five", "number", None, ".", "stop"),
        ("Now you.", "text", "ask.say-back-1b", "", "stop"),
    ]
    assert said.text == "Listen: five. Now you."


def test_a_phrase_without_a_number_is_one_recording(bank):
    (part,) = bank.choose("sound-check", random.Random(0)).pieces
    assert part.slot == "sound-check-1"


def test_a_phrase_with_the_childs_name_cannot_be_recorded():
    bank = parse(reworded("session.hello", '"session.hello" = ["Hello!", "Hello {child}!"]'))
    named = next(
        said
        for seed in range(50)
        if "Wren" in (said := bank.choose("session.hello", random.Random(seed), child="Wren")).text
    )
    assert [part.slot for part in named.pieces] == [None]
    assert "session.hello-1" in bank.slots() and "session.hello-2" not in bank.slots()


def test_braces_in_a_childs_name_are_only_letters():
    bank = parse(reworded("session.hello", '"session.hello" = ["Hello!", "Hello {child}!"]'))
    for seed in range(20):
        assert "secret" not in bank.choose("session.hello", random.Random(seed), child="{number}", number="secret").text


def test_slots_tell_what_to_record(bank):
    slots = bank.slots()
    assert slots["sound-check-1"] == bank.wordings["sound-check"][0]
    assert slots["ask.say-back-1a"] == "Listen:" and slots["ask.say-back-1b"] == "Now you."


def test_a_number_that_is_not_given_is_the_callers_mistake(bank):
    with pytest.raises(ValueError, match="number"):
        bank.choose("reply.model", random.Random(0))
    with pytest.raises(KeyError):
        bank.choose("no-such-phrase", random.Random(0))


@pytest.mark.parametrize(
    ("key", "line", "says"),
    [
        ("ask.say-back", 'ask.say-back = "Say it."', "put {number} in"),
        ("ask.say-back", 'ask.say-back = "Say {nummer} and {number}."', "{nummer} is unknown"),
        ("ask.say-back", 'ask.say-back = "Say {number!r}."', "is unknown"),
        ("ask.say-back", 'ask.say-back = "Say {number:>9}."', "is unknown"),
        ("ask.say-back", 'ask.say-back = "Say {}{number}."', "{} is unknown"),
        ("ask.say-back", 'ask.say-back = "Say {number."', "brace"),
        ("ask.say-back", 'ask.say-back = "Say number}."', "brace"),
        ("ask.glimpse", 'ask.glimpse = "{number} things?"', "{number} may not stand"),
        ("ask.which-more", 'ask.which-more = "Which is more than {first}?"', "put {second} in"),
        ("sound-check", "sound-check = []", "must be text in quotes"),
        ("sound-check", "sound-check = 3", "must be text in quotes"),
        ("sound-check", 'sound-check = ["Next.", 3]', "must be text in quotes"),
        ("sound-check", 'sound-check = ["  "]', "empty wording"),
        ("sound-check", 'sound-check = """Next\none."""', "several lines"),
        ("session.hello", 'session.hello = "Hello {child}!"', "without {child}"),
        ("sound-check", 'sound-check = "Next."\nsoundcheck = "Next."', "did you mean 'sound-check'"),
        ("sound-check", 'sound-check = "Next.', "line"),
    ],
)
def test_a_bad_bank_gets_one_line(tmp_path, key, line, says):
    path = tmp_path / "en.toml"
    path.write_text(reworded(key, line), encoding="utf-8")
    with pytest.raises(SayitError) as caught:
        open_bank(path)
    message = str(caught.value)
    assert says in message and "en.toml" in message and "\n" not in message


def test_a_bank_of_ones_own_may_hold_a_few_phrases(tmp_path, bank):
    (tmp_path / "en.toml").write_text('"your-turn" = "Over to you."', encoding="utf-8")
    assert open_bank(tmp_path / "en.toml").wordings == {**bank.wordings, "your-turn": ("Over to you.",)}
    with pytest.raises(SayitError, match=r"no wording for 'ask.say-back'"):
        parse(reworded("ask.say-back", ""))


def test_a_bank_that_cannot_be_read_gets_one_line(tmp_path):
    with pytest.raises(SayitError, match="Put the file back"):
        open_bank(tmp_path / "en.toml")
    (tmp_path / "en.toml").write_bytes("session.hello = 'caf\u00e9'".encode("latin-1"))
    with pytest.raises(SayitError, match="UTF-8"):
        open_bank(tmp_path / "en.toml")


def test_a_file_saved_by_a_windows_editor_is_read(tmp_path, bank):
    path = tmp_path / "en.toml"
    path.write_bytes(b"\xef\xbb\xbf" + SHIPPED.read_bytes().replace(b"\n", b"\r\n"))
    assert open_bank(path) == bank
