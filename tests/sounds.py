"""Sounds for the tests, and a sound card made of files for PortAudio itself."""

import os
import subprocess
import sys
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from sayit.sound.audio import RATE, load
from tests.speech_data import MISSING, present, recordings

needs_children = pytest.mark.skipif(not present(), reason=MISSING)


@cache
def digit_strings():
    """Files of speechocean762 (Zhang et al. 2021, arXiv 2104.01378) in which digits are read."""
    return sorted(one.path for one in recordings("numbers"))


def silence(seconds, rate=RATE):
    return np.zeros(int(seconds * rate), dtype=np.float32)


def room(seconds, dbfs=-65.0, seed=0):
    """White noise of a level, as a quiet room and a cheap microphone make it."""
    noise = np.random.default_rng(seed).standard_normal(int(seconds * RATE))
    return (noise * 10 ** (dbfs / 20)).astype(np.float32)


def tone(seconds, rate=RATE, hertz=440.0, peak=0.5):
    return (peak * np.sin(2 * np.pi * hertz * np.arange(int(seconds * rate)) / rate)).astype(np.float32)


@cache
def spoken(text, folder):
    """``text`` by the espeak-ng program, not by our own voice, without the silence around it."""
    path = Path(folder) / f"{abs(hash(text))}.wav"
    subprocess.run(["espeak-ng", "-v", "en-gb", "-s", "130", "-w", str(path), text], check=True)
    samples = load(path)
    loud = np.flatnonzero(np.abs(samples) > 0.005)
    return 0.5 * samples[loud[0] : loud[-1] + 1]


def in_room(*pieces, seed=0):
    """The pieces one after another with a quiet room under them."""
    whole = np.concatenate(pieces)
    return np.clip(whole + room(len(whole) / RATE + 1, seed=seed)[: len(whole)], -1, 1)


def with_file_card(tmp_path, program, heard=None):
    """Run ``program`` with PortAudio on an ALSA device whose sound goes to and comes from files.

    Returns what the program printed and the samples it played, ``float32``.
    """
    if not sys.platform.startswith("linux") or not Path("/usr/share/alsa/alsa.conf").exists():
        pytest.skip("the card made of files needs ALSA")
    out, into = tmp_path / "out.raw", tmp_path / "in.raw"
    (heard if heard is not None else silence(1)).astype("<f4").tofile(into)
    (tmp_path / "asound.conf").write_text(
        f"""</usr/share/alsa/alsa.conf>
pcm.out {{ type file slave.pcm "null" file "{out}" format "raw" }}
pcm.in {{ type file slave.pcm "null" file "/dev/null" infile "{into}" format "raw" }}
pcm.!default {{ type asym playback.pcm "out" capture.pcm "in" }}
"""
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        env={**os.environ, "ALSA_CONFIG_PATH": str(tmp_path / "asound.conf")},
        cwd=Path(__file__).parents[1],
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.returncode == 0, done.stderr
    played = np.fromfile(out, dtype="<f4") if out.exists() else silence(0)
    return done.stdout.split("\n"), played
