"""Calls of the command line that nobody would make, and sound files that are none."""

import random
import tempfile
from pathlib import Path

import numpy as np
import pytest
import soundfile
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from sayit.commands.main import _COMMANDS
from tests.attack.family import answers_of, crossed, settle

pytestmark = pytest.mark.attack

WORDS = (
    "Newt", "Wren", "nobody", "", " ", "-", "--", "--json", "--help", "--yes", "0", "45", "-3", "4,030", "1e999", "nan", "9" * 400,
    "١٢", "plain", "both", "teens", "list", "none", "2026-03-02", "2026-13", "1-100", "9-3", "four ten five", "copy.sqlite3",
    "sound.wav", "text.wav", "folder", "missing/deep", ".", "..", "/dev/null", "/dev/zero", "/proc/self/mem", "x" * 300, "y/" * 3000,
    "\udcff\udc80", "\x1b[31m", "\x07", "\n", "\t", "\u202e", "🐦", "%s%n", "{}", "$(true)", "'", '"', "--child=Newt", "--out=folder",
)  # fmt: skip
OPTIONS = (
    "--child", "--add", "--step", "--skip", "--pace", "--limit", "--forms", "--keep-audio", "--birth-month", "--weeks", "--days",
    "--minutes", "--since", "--out", "--seed", "--form", "--asked", "--range", "--questions", "--quiet", "--patience", "--listener",
    "--check", "--sha256", "--port", "--json", "--yes", "--unknown",
)  # fmt: skip
NAMES = sorted(module.__name__.rpartition(".")[2] for module in _COMMANDS)
WORD = st.one_of(
    st.sampled_from(WORDS), st.sampled_from(WORDS), st.text(max_size=12).filter(lambda text: "\0" not in text)
)
CALL = st.tuples(
    st.sampled_from(NAMES),
    st.lists(st.one_of(WORD, st.tuples(st.sampled_from(OPTIONS), WORD)), max_size=4),
).map(lambda call: [call[0], *(part for one in call[1] for part in ([one] if isinstance(one, str) else one))])


def harmless(args):
    """Without what plays aloud, asks the network, loads a recogniser each time, or makes a paper each time."""
    wanted = list(args)
    if args[0] == "practise":
        wanted[1:1] = ["--answers", "spoilt"]
    if args[0] == "say":
        wanted += ["--out", "said.txt"]
    return wanted


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("SAYIT_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("sayit.page.server.serve", lambda **_: None)
    monkeypatch.setattr("sayit.commands.ready.run", lambda args: 0)
    for folder in ("folder", "spoilt"):
        (tmp_path / folder).mkdir()
    (tmp_path / "spoilt" / "13-plain.wav").write_bytes(b"RIFF")
    (tmp_path / "text.wav").write_text("forty-five")
    soundfile.write(tmp_path / "sound.wav", np.zeros(800, np.float32), 16_000)
    settle(tmp_path / "home" / "record.sqlite3")
    return tmp_path / "home" / "record.sqlite3"


def test_calls_drawn_at_random(home, tally, long, capsys):
    whole, newt = home.read_bytes(), answers_of(home, "Newt")

    @settings(
        max_examples=1000 if long else 15, database=None, derandomize=True, deadline=None, phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(CALL)
    def attack(args):
        code = tally.call(
            capsys, harmless(args), codes=(0, 1, 2) if args[0] in ("sheet", "report", "export") else (0, 2)
        )
        asked = args[0] == "forget" and code == 0
        if not asked:
            tally.lost += answers_of(home, "Newt") != newt
        tally.crossed += crossed(home)
        if home.read_bytes() != whole:
            for left in home.parent.glob("*"):
                left.unlink()
            home.write_bytes(whole)

    attack()
    tally.nothing_lost()


def spoilt_sounds(folder, many, draw):
    """Sound files with bytes changed, cut, or with another ending."""
    noise = np.random.default_rng(8).uniform(-0.3, 0.3, (4_000, 2)).astype(np.float32)
    whole = {}
    for ending, rate in (
        (".wav", 44_100),
        (".flac", 16_000),
        (".ogg", 22_050),
        (".aiff", 8_000),
        (".au", 8_000),
        (".caf", 48_000),
    ):
        soundfile.write(path := folder / f"whole{ending}", noise, rate)
        whole[ending] = path.read_bytes()
    for number in range(many):
        ending = draw.choice(list(whole))
        content = bytearray(whole[ending])
        match draw.randrange(5):
            case 0:
                del content[draw.randrange(len(content)) :]
            case 1 | 2 | 3:
                for _ in range(draw.choice((1, 4, 30))):
                    content[draw.randrange(min(len(content), draw.choice((48, 200, 10**6))))] = draw.randrange(256)
            case 4:
                content = bytearray(draw.randbytes(draw.randrange(2000)))
        path = folder / f"{number}{draw.choice((ending, '.wav', ''))}"
        path.write_bytes(content)
        yield path


def test_sounds(tally, long, capsys, monkeypatch, tmp_path):
    from sayit.hearing.heard import Heard

    class Deaf:
        def hear(self, samples):
            assert samples.dtype == np.float32 and np.isfinite(samples).all() and abs(samples).max() <= 1
            return Heard("", 0.0, False, (), "deaf", len(samples) / 16_000, 0.0)

    if not long:
        monkeypatch.setattr("sayit.hearing.listener.open_listener", lambda name: Deaf())
    with tempfile.TemporaryDirectory(dir=tmp_path) as folder:
        for path in spoilt_sounds(Path(folder), 100 if long else 20, random.Random(9)):
            tally.call(capsys, ("hear", str(path)))
    tally.nothing_lost()
