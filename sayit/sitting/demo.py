"""Recorded answers that the project makes itself, with this machine's own voice.

They show a whole sitting where there is neither microphone nor keyboard. Pip is
invented, and so is everything that Pip answers.
"""

import shutil
import tempfile
from pathlib import Path

import numpy as np

from sayit.errors import SayitError
from sayit.numbers import name
from sayit.sound.audio import RATE, save
from sayit.speaking.utterance import Utterance, number, text
from sayit.speaking.voice import VoiceSettings, open_voice

CHILD = "Pip"

_MADE_BY = "2"
"""Changes whenever the answers below do, so that old ones are made anew."""

_SILENCE = None

ANSWERS: dict[str, Utterance | None] = {
    "13-plain": number(name(30)),
    "27-plain": _SILENCE,
    "27-plain-2": number(name(27)),
    "45-explicit": number(name(45, "explicit")),
    "58-plain-other": number(name(58)),
    "63-explicit-other": number(name(63)),
    "81-explicit": text("Can I have a biscuit, please?"),
    "81-explicit-2": number(name(81, "explicit")),
    "306-plain": number(name(306)),
    "4030-explicit": number(name(430, "explicit")),
}
"""Name of the recording, and what Pip says: right, the other form, thirteen and
thirty mixed up, a lost zero, silence, and talk that is no number."""


def demo_answers(folder: Path) -> Path:
    """The folder of demo answers, made below ``folder`` at first use.

    ``SayitError`` where this machine has no voice to make them with.
    """
    made = folder / f"answers-{_MADE_BY}"
    if made.is_dir():
        return made
    voice = open_voice(VoiceSettings(volume=1.0, voice="System"), aloud=False)
    if not voice:
        raise SayitError(
            f"There is no microphone, and the demonstration needs a voice. {voice.trouble} "
            "Or give recorded answers: sayit practise --answers FOLDER."
        )
    folder.mkdir(parents=True, exist_ok=True)
    # Made aside and moved in one step, so that a kill never leaves half of them.
    making = Path(tempfile.mkdtemp(prefix=".making-", dir=folder))
    try:
        for stem, said in ANSWERS.items():
            file = making / f"{stem}.wav"
            if said is _SILENCE:
                save(np.zeros(2 * RATE, dtype=np.float32), file)
            else:
                voice.save(said, file)
        try:
            making.replace(made)
        except OSError:
            if not made.is_dir():
                raise
    except OSError as error:
        raise SayitError(
            f"The demonstration cannot be written to {folder} ({error.strerror}): free some space, or set SAYIT_HOME."
        ) from error
    finally:
        shutil.rmtree(making, ignore_errors=True)
    return made
