"""Whole sittings as a program of its own: demo, recorded speech, a terminal, Ctrl-C."""

import json
import os
import shutil
import sqlite3
import sys
import time
from contextlib import closing

import pytest

from sayit.sitting.demo import ANSWERS
from sayit.store import open_record
from tests.commands.program import CHECKOUT, environment, objects
from tests.speech_data import MISSING, present, recordings

needs_voice = pytest.mark.skipif(
    shutil.which("espeak-ng") is None, reason="espeak-ng is missing: apt-get install espeak-ng"
)


def microphone_here():
    from sayit.hearing.capture import MicrophoneLost, microphone_name

    try:
        return microphone_name()
    except MicrophoneLost:
        return None


needs_silence = pytest.mark.skipif(
    microphone_here() is not None, reason="this machine has a microphone, so it would be used"
)


def events(finished, kind):
    return [event for event in objects(finished) if event["event"] == kind]


@needs_voice
@needs_silence
def test_with_neither_microphone_nor_terminal_a_demonstration_runs(sayit, tmp_path):
    finished = sayit("--json", "--seed", "1")
    judged = events(finished, "judged")
    assert [(event["asked"], event["attempt"], event["verdict"]) for event in judged] == [
        (13, 1, "wrong"),
        (27, 1, "unclear"),
        (27, 2, "right"),
        (45, 1, "right"),
        (58, 1, "right"),
        (63, 1, "other-form"),
        (81, 1, "unclear"),
        (81, 2, "right"),
        (306, 1, "right"),
        (4030, 1, "wrong"),
    ]
    assert len(judged) == len(ANSWERS)
    assert judged[0]["reasons"] == ["teen-ty-swap"] and judged[-1]["reasons"] == ["lost-zero"]
    assert any(event["kind"] == "demo" for event in events(finished, "notice"))
    with open_record(tmp_path / "home" / "demo" / "record.sqlite3") as record:
        assert [child.name for child in record.children()] == ["Pip"]
        kept = record.answers()
    assert [answer.id for answer in kept] == [event["id"] for event in judged]
    assert [answer.verdict for answer in kept] == [event["verdict"] for event in judged]
    assert not (tmp_path / "home" / "record.sqlite3").exists(), "invented answers stay out of the household's record"


@needs_voice
@needs_silence
def test_the_demonstration_tells_a_parent_what_they_should_know(sayit):
    shown = sayit("--questions", "2").stdout
    for words in ("demonstration", "invented", "rest", "personal data", "licensed practitioner", "3 answers"):
        assert words in shown
    assert "wrong" not in shown.lower()


@pytest.fixture
def answers(tmp_path, spoken):
    """A folder of recorded answers, as a parent would lay it out."""

    def make(**said):
        folder = tmp_path / "answers"
        folder.mkdir(exist_ok=True)
        for stem, text in said.items():
            shutil.copy(spoken(text), folder / f"{stem.strip('_').replace('_', '-')}.wav")
        return folder

    return make


def test_recorded_answers_are_asked_in_the_order_of_their_names(sayit, answers, tmp_path):
    folder = answers(
        _100_plain="one hundred", _45_explicit="four ten, five", _45_plain_other="forty five", _8_plain="three"
    )
    finished = sayit("practise", "--answers", str(folder), "--child", "Wren", "--json")
    judged = events(finished, "judged")
    assert [(event["asked"], event["form"], event["verdict"]) for event in judged] == [
        (8, "plain", "wrong"),
        (45, "explicit", "right"),
        (45, "plain", "right"),
        (100, "plain", "right"),
    ]
    (last,) = events(finished, "finished")
    assert (last["answers"], last["verdicts"]) == (4, {"wrong": 1, "right": 3})
    with open_record(tmp_path / "home" / "record.sqlite3") as record:
        (session,) = record.sessions(record.child("Wren"))
        assert session.source == "recordings" and session.ended is not None
        assert len(record.answers(child=record.child("wren"))) == 4


def test_the_first_child_practises_where_none_is_named(sayit, answers, tmp_path):
    folder = answers(_45_plain="forty five")
    home = tmp_path / "home"
    sayit("practise", "--answers", str(folder), "--child", "Wren")
    sayit("practise", "--answers", str(folder), "--child", "Pip")
    sayit("practise", "--answers", str(folder))
    with open_record(home / "record.sqlite3") as record:
        assert [(child.name, len(record.answers(child=child))) for child in record.children()] == [
            ("Wren", 2),
            ("Pip", 1),
        ]


def test_a_bad_recording_in_the_middle_keeps_what_came_before(sayit, answers, tmp_path):
    folder = answers(_45_plain="forty five")
    (folder / "46-plain.wav").write_text("no sound")
    finished = sayit("practise", "--answers", str(folder))
    assert finished.returncode == 2
    (line,) = finished.stderr.splitlines()
    assert "46-plain.wav" in line
    with open_record(tmp_path / "home" / "record.sqlite3") as record:
        assert [answer.final for answer in record.answers()] == ["right"]


@pytest.mark.skipif(not present(), reason=MISSING)
def test_children_reading_digits_go_through_the_whole_loop(sayit, tmp_path):
    """speechocean762 (Zhang et al. 2021, arXiv 2104.01378, CC BY 4.0): digit strings read by children of 6 to 9.

    What they said is asked as one number, so the value is right and the reason is
    "digit by digit". Three of the 24 may be misheard; none may be lost.
    """
    folder = tmp_path / "answers"
    folder.mkdir()
    digit = dict(zip("zero one two three four five six seven eight nine oh".split(), "01234567890", strict=True))
    chosen = {}
    for recording in recordings("numbers"):
        told = "".join(digit[word.lower()] for word in recording.words.split())
        if 2 <= len(told) <= 5 and told[0] != "0" and len(set(told)) > 1 and recording.age <= 9:
            chosen.setdefault(told, recording.path)
    for told, path in sorted(chosen.items())[:24]:
        shutil.copy(path, folder / f"{told}-plain{path.suffix}")
    finished = sayit("practise", "--answers", str(folder), "--minutes", "60", "--json", timeout=900)
    judged = events(finished, "judged")
    assert len(judged) == len(list(folder.iterdir())) >= 12
    told = [event for event in judged if event["value"] == event["asked"] and "digit-by-digit" in event["reasons"]]
    assert len(told) >= len(judged) - 3
    with open_record(tmp_path / "home" / "record.sqlite3") as record:
        assert [answer.id for answer in record.answers()] == [event["id"] for event in judged]


# --- With a terminal ---------------------------------------------------------

pexpect = pytest.importorskip("pexpect")


@pytest.fixture
def terminal(tmp_path):
    """Starts the program in a pseudo-terminal of its own."""
    started = []

    def start(*args):
        child = pexpect.spawn(
            sys.executable,
            ["-m", "sayit", *args],
            env={**environment(tmp_path / "home"), "TERM": "xterm", "COLUMNS": "200"},
            cwd=str(CHECKOUT),
            encoding="utf-8",
            timeout=120,
            dimensions=(40, 200),
        )
        started.append(child)
        return child

    yield start
    for child in started:
        if not child.closed:
            child.close(force=True)


def ended(child):
    child.expect(pexpect.EOF)
    child.close()
    return child.exitstatus


@pytest.fixture
def kept(tmp_path):
    def read():
        with open_record(tmp_path / "home" / "record.sqlite3") as record:
            return record.answers()

    return read


@needs_silence
def test_without_a_microphone_the_parent_judges_by_key(terminal, kept):
    child = terminal("practise", "--child", "Pip", "--questions", "4", "--range", "11-99", "--seed", "3")
    child.expect("r right   w wrong   a again   s skip   q stop")
    child.expect("plug it in")
    for key, shown in (("r", "you: right"), ("w", "you: not right"), ("s", None), ("r", "you: right")):
        child.expect("wanted:")
        child.expect("r right")
        child.send(key)
        if shown:
            child.expect(shown)
    child.expect("3 answers")
    assert ended(child) == 0
    assert [(answer.verdict, answer.judged_by) for answer in kept()] == [
        ("right", "parent"),
        ("wrong", "parent"),
        ("right", "parent"),
    ]


@needs_silence
def test_again_asks_the_same_and_q_stops(terminal, kept):
    child = terminal("practise", "--range", "11-99", "--seed", "3")
    child.expect("wanted: ([0-9]+)")
    first = child.match[1]
    child.expect("r right")
    child.send("a")
    child.expect(r"wanted: ([0-9]+).*\(try 2\)")
    assert child.match[1] == first
    child.expect("r right")
    child.send("q")
    child.expect("0 answers")
    assert ended(child) == 0
    assert kept() == ()


def test_a_key_overrides_what_the_listener_judged(terminal, kept, answers):
    folder = answers(_45_plain="forty six", _46_plain="forty six")
    child = terminal("practise", "--answers", str(folder))
    child.expect("Heard forty six, wanted forty-five")
    child.send("r")
    child.expect("you: right")
    child.expect("2 answers")
    child.expect("2  right")
    assert ended(child) == 0
    assert [(answer.verdict, answer.override) for answer in kept()] == [("wrong", "right"), ("right", None)]


@needs_silence
def test_ctrl_c_leaves_cleanly_and_the_terminal_as_it_was(terminal, kept):
    import termios

    child = terminal("practise", "--range", "11-99")
    child.expect("r right")
    child.expect("r right")
    assert not termios.tcgetattr(child.child_fd)[3] & termios.ICANON
    child.send("r")
    child.expect("you: right")
    child.expect("wanted:")
    child.expect("r right")
    child.sendintr()
    child.expect("stopped. Every answer that was judged is kept.")
    child.expect(pexpect.EOF)
    after = termios.tcgetattr(child.child_fd)
    child.close()
    assert child.exitstatus == 130
    assert "Traceback" not in child.before
    assert after[3] & termios.ICANON and after[3] & termios.ECHO
    assert len(kept()) == 1


@needs_silence
def test_a_terminal_that_is_closed_ends_the_sitting(terminal, kept):
    child = terminal("practise", "--range", "11-99")
    child.expect("There is no microphone")
    child.send("w")
    child.expect("you: not right")
    os.close(child.child_fd)
    until = time.monotonic() + 30
    while child.isalive() and time.monotonic() < until:
        time.sleep(0.05)
    assert not child.isalive()
    child.closed = True
    (answer,) = kept()
    assert answer.verdict == "wrong"


@needs_silence
def test_a_polite_kill_puts_the_terminal_right(terminal):
    import signal
    import termios

    child = terminal("practise", "--range", "11-99")
    child.expect("There is no microphone")
    child.kill(signal.SIGTERM)
    child.expect(pexpect.EOF)
    after = termios.tcgetattr(child.child_fd)
    child.close()
    assert child.exitstatus == 128 + signal.SIGTERM
    assert after[3] & termios.ICANON


def test_a_childs_name_cannot_paint_the_terminal(sayit, answers):
    shown = sayit("practise", "--answers", str(answers(_45_plain="forty five")), "--child", "[red]Pip[/red]")
    assert "[red]Pip[/red]" in shown.stdout
    refusal = sayit("practise", "--answers", str(answers()), "--child", "\x1b[31mPip")
    assert refusal.returncode == 2 and "\x1b" not in refusal.stderr


def test_the_json_of_a_sitting_and_the_record_tell_the_same(sayit, answers, tmp_path):
    finished = sayit("practise", "--answers", str(answers(_45_plain="forty five", _46_plain="thirty")), "--json")
    with closing(sqlite3.connect(tmp_path / "home" / "record.sqlite3")) as connection:
        rows = connection.execute("SELECT id, asked, verdict, reasons FROM answer ORDER BY id").fetchall()
    judged = events(finished, "judged")
    assert rows == [(event["id"], event["asked"], event["verdict"], json.dumps(event["reasons"])) for event in judged]


# --- By the plan -------------------------------------------------------------

ASKS = [
    "press 1 or 2",
    "type the digits",
    "then press g",
    "r right   w wrong   a again   s skip   q stop   g go on[^\n]{0,9}\n",
    pexpect.EOF,
]


def played(child, judge=lambda number: "r"):
    """Play to the end as child and parent at the keys; how often the parent judged, the child chose, and typed."""
    judged = chosen = typed = 0
    child.expect("Keys: [^\n]*\n")
    shown = child.after
    while (asked := child.expect(ASKS)) != 4:
        shown += child.before
        if asked == 0:
            chosen += 1
            child.send("1")
        elif asked == 1:
            typed += 1
            # One is typed, whatever it was; at the others the parent says that it was right.
            child.send("12\r" if typed == 1 else "rg")
        elif asked == 2:
            child.send("g")
        else:
            judged += 1
            # The second key cuts the pause short in which a verdict can be corrected.
            child.send(f"{judge(judged)}g")
    shown += child.before
    child.close()
    return shown, judged, chosen, typed


@needs_silence
def test_by_itself_it_follows_the_plan_and_tells_aim_and_tomorrow(terminal, tmp_path):
    child = terminal("practise", "--child", "Pip", "--minutes", "0.75", "--step", "teens", "--seed", "4", "--no-voice")
    shown, judged, chosen, typed = played(child)
    assert child.exitstatus == 0
    assert judged and typed + chosen
    with open_record(tmp_path / "home" / "record.sqlite3") as record:
        (session,) = record.sessions()
        answers = record.answers()
        assert record.placements(record.child("Pip")) == (), "--step is for this sitting only"
    assert len(answers) == judged + typed + chosen
    assert not any(answer.question.startswith("free/") for answer in answers)
    by_hand = [answer for answer in answers if answer.judged_by == "listener"]
    assert {answer.way for answer in by_hand} <= {"digits", "choice"} and len(by_hand) == chosen + (typed > 0)
    assert all(answer.built == "12" for answer in by_hand if answer.way == "digits")
    assert all(0 <= answer.response_seconds < 30 for answer in by_hand)
    assert session.aim.startswith("teens/") and session.aim_met in ("met", "nearly", "not yet")
    assert "Today: Teens" in shown and "Tomorrow: " in shown and "Lay out: " in shown
    told = {"met": "the aim is met", "nearly": "nearly met", "not yet": "the aim comes back"}[session.aim_met]
    assert told in shown


@needs_silence
def test_things_and_digits_are_drawn_large_and_wiped_away(terminal):
    child = terminal("practise", "--minutes", "1", "--step", "to-five", "--seed", "1", "--no-voice")
    while child.expect(["how many\\?", *ASKS[:4]]):
        child.send({"press 1 or 2": "1", "then press g": "g"}.get(child.after, "rg"))
    child.expect("██")
    # Rich wipes a line by this sequence (ECMA-48: erase in line).
    child.expect("\x1b\\[2K")
    assert "██" not in child.before.split("\n")[-1]
    child.send("q")
    child.expect(pexpect.EOF)


@needs_silence
def test_two_children_take_turns(terminal, tmp_path):
    child = terminal("practise", "--child", "Pip", "--child", "Wren", "--minutes", "0.4", "--seed", "4", "--no-voice")
    shown, *_ = played(child)
    with open_record(tmp_path / "home" / "record.sqlite3") as record:
        pip, wren = record.children()
        counts = [len(record.answers(child=one)) for one in (pip, wren)]
        sessions = record.sessions()
    assert (pip.name, wren.name) == ("Pip", "Wren") and min(counts) >= 3
    assert [session.child for session in sessions] == [pip.id, wren.id]
    assert all(session.ended and session.aim and session.aim_met for session in sessions)
    for words in (
        "Pip's turn",
        "Wren's turn",
        "Today, Pip: ",
        "Today, Wren: ",
        "Tomorrow, Wren: ",
        f"Wren, {counts[1]} answers:",
    ):
        assert words in shown, words
    # The child is called by its name whenever the turn passes.
    for name in ("Pip", "Wren"):
        calls = shown.split(f"{name}'s turn")[1:]
        assert calls and all(name in call.split("Say: ")[1].split("\n")[0] for call in calls)


@needs_silence
def test_a_placement_that_is_stopped_changes_nothing_and_says_so(terminal, tmp_path):
    child = terminal("practise", "--place", "--child", "Pip", "--seed", "4", "--no-voice")
    shown, *_ = played(child, lambda number: "q")
    assert "not sure yet, so nothing was changed" in shown
    with open_record(tmp_path / "home" / "record.sqlite3") as record:
        assert record.placements(record.child("Pip")) == ()


@needs_silence
def test_a_placement_that_is_interrupted_says_so_too(terminal, tmp_path):
    child = terminal("practise", "--place", "--child", "Pip", "--seed", "4", "--no-voice")
    child.expect([*ASKS[:3], "There is no microphone"])
    child.sendintr()
    child.expect("not sure yet, so nothing was changed")
    child.expect("stopped. Every answer that was judged is kept.")
    assert ended(child) == 130


@needs_silence
def test_a_placement_that_is_sure_is_written_and_told(terminal, sayit, tmp_path):
    """Everything that is not to be typed counts as known, so the place is far along."""
    sayit("children", "--add", "Pip", "--pace", "1.5", "--limit", "100")
    child = terminal("practise", "--place", "--child", "Pip", "--seed", "4", "--no-voice")
    child.expect("Keys: [^\n]*\n")
    while (asked := child.expect(ASKS)) != 4:
        child.send(("1", "\r", "g", "rg")[asked] if asked != 1 else "rg")
    shown = child.before
    assert ended(child) == 0
    with open_record(tmp_path / "home" / "record.sqlite3") as record:
        pip = record.child("Pip")
        before, placed = record.placements(pip)
        first = record.answers()[0]
    from sayit.practice.path import load_path

    title = load_path(100)[placed.step].title
    assert f"Pip goes on at “{title}”" in shown
    assert (placed.limit, placed.pace) == (before.limit, before.pace) == (100, 1.5)
    assert before.at < placed.at <= first.judged_at, "its own answers count at the place found"
    assert load_path(100).index(placed.step) >= len(load_path(100)) - 2


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("--child", "Pip", "--child", "pip "), "named twice"),
        (("--child", "A", "--child", "B", "--child", "C", "--child", "D"), "at most 3"),
        (("--child", "A", "--child", "B", "--answers", "somewhere"), "do not go together"),
        (("--child", "A", "--child", "B", "--place"), "do not go together"),
        (("--place", "--questions", "3"), "--questions"),
        (("--step", "teens", "--range", "1-9"), "--range"),
        (("--place", "--step", "teens"), "do not go together"),
        (("--place", "--answers", "somewhere"), "--answers"),
    ],
)
def test_what_does_not_go_together_is_refused_before_anything_is_written(sayit, tmp_path, args, says):
    from tests.commands.program import refused

    assert says in refused(sayit("practise", *args))
    assert not (tmp_path / "home" / "record.sqlite3").exists()


@needs_silence
def test_an_unknown_step_is_refused_with_the_known_ones(terminal):
    child = terminal("practise", "--step", "minus")
    child.expect("There is no step 'minus': choose one of to-five, .*\n")
    assert ended(child) == 2


@needs_silence
@pytest.mark.parametrize("args", [("--place",), ("--step", "teens"), ("--child", "Pip", "--child", "Wren")])
def test_where_nobody_can_answer_nothing_but_the_demonstration_starts(sayit, args):
    from tests.commands.program import refused

    assert "terminal" in refused(sayit("practise", *args))


# --- Recordings and steps ----------------------------------------------------


def recordings_of(home):
    return sorted((home / "record-recordings").rglob("*.flac"))


def test_recordings_are_kept_where_the_parent_turned_them_on_and_the_notes_say_so(sayit, answers, tmp_path):
    folder, home = answers(_45_plain="forty five", _46_plain="thirty"), tmp_path / "home"
    sayit("children", "--add", "Wren", "--keep-audio", "7")
    said = sayit("practise", "--answers", str(folder), "--child", "Wren").stdout
    assert (
        "Each answer of Wren is recorded, and deleted at the next use after 7 days" in said and "--keep-audio 0" in said
    )
    assert "No recording" not in said and "personal data" in said
    assert len(recordings_of(home)) == 2
    said = sayit("practise", "--answers", str(folder), "--child", "Pip").stdout
    assert "No recording of the child's voice is kept" in said
    assert len(recordings_of(home)) == 2
    sayit("children", "--child", "Wren", "--keep-audio", "0")
    assert recordings_of(home) == []
    said = sayit("practise", "--answers", str(folder), "--child", "Wren").stdout
    assert "No recording of the child's voice is kept" in said and recordings_of(home) == []


def test_forget_deletes_what_practise_recorded(sayit, answers, tmp_path):
    sayit("children", "--add", "Wren", "--keep-audio", "7")
    sayit("practise", "--answers", str(answers(_45_plain="forty five")), "--child", "Wren")
    assert len(recordings_of(tmp_path / "home")) == 1
    assert sayit("forget", "Wren", "--yes").returncode == 0
    assert recordings_of(tmp_path / "home") == []
