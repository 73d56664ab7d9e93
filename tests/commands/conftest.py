import shutil

import pytest

from tests.commands import program
from tests.speech_data import speak


@pytest.fixture
def sayit(tmp_path):
    """Runs the program with a home of its own."""

    def run(*args, **options):
        return program.run(*args, home=tmp_path / "home", **options)

    return run


@pytest.fixture(scope="session")
def spoken(tmp_path_factory):
    """Recordings by a synthetic voice, made once for each text."""
    if shutil.which("espeak-ng") is None:
        pytest.skip("espeak-ng is missing: apt-get install espeak-ng")
    folder = tmp_path_factory.mktemp("spoken")

    def make(text):
        path = folder / f"{text.replace(' ', '_')}.wav"
        if not path.exists():
            speak("espeak en-gb", text, path)
        return path

    return make
