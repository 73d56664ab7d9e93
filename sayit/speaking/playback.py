"""Sound out: play samples and come back when they have been heard."""

from __future__ import annotations

from collections.abc import Callable
from types import ModuleType

import numpy as np

from sayit.errors import SayitError
from sayit.sound.audio import resample
from sayit.sound.portaudio import load_sounddevice

__all__ = ["VOLUME_NOTE", "NoLoudspeaker", "loudspeaker", "play"]

VOLUME_NOTE = (
    "Set the machine's volume so that the voice is as loud as yours across the table; "
    "with headphones lower than that, and never for long."
)
"""For the parent, wherever the volume is set; the program cannot know how loud the machine is."""

_BLOCK_S = 0.05


class NoLoudspeaker(SayitError):  # noqa: N818
    """Sound cannot be played: no device, no sound system, or it went away."""


def loudspeaker(device: int | str | None = None) -> str:
    """Name of the device that sound is played on.  Raises NoLoudspeaker, one line."""
    sounddevice = _sounddevice()
    try:
        return str(sounddevice.query_devices(device, "output")["name"])
    except (sounddevice.PortAudioError, ValueError) as error:
        raise NoLoudspeaker(_LOST) from error


def play(
    samples: np.ndarray,
    rate: int,
    *,
    device: int | str | None = None,
    stop: Callable[[], bool] | None = None,
) -> bool:
    """Play mono ``float32`` samples and return once the last has left the device.

    So the moment of return is the end of the prompt, from which response time
    counts.  ``stop`` is asked every 50 ms; once true, the sound is cut off and
    False returned.  A device that refuses ``rate`` is fed at its own.  Raises
    NoLoudspeaker, one line, when there is none or it goes away.
    """
    sounddevice = _sounddevice()
    samples = np.ascontiguousarray(samples, dtype=np.float32)
    try:
        try:
            sounddevice.check_output_settings(device, channels=1, dtype="float32", samplerate=rate)
        except sounddevice.PortAudioError:
            own = int(sounddevice.query_devices(device, "output")["default_samplerate"])
            samples, rate = resample(samples, rate, own), own
        stream = sounddevice.OutputStream(samplerate=rate, channels=1, dtype="float32", device=device)
        with stream:
            step = int(rate * _BLOCK_S)
            for start in range(0, len(samples), step):
                if stop is not None and stop():
                    stream.abort()
                    return False
                stream.write(samples[start : start + step].reshape(-1, 1))
            # PortAudio's stop, unlike abort, waits until all that was written has been heard.
            stream.stop()
    except (sounddevice.PortAudioError, ValueError) as error:
        raise NoLoudspeaker(_LOST) from error
    return True


_LOST = "No loudspeaker can be used: plug one in and start again; until then what to say is on the screen."


def _sounddevice() -> ModuleType:
    try:
        return load_sounddevice()
    except OSError as error:
        raise NoLoudspeaker(
            "The sound library PortAudio is missing: install it (Debian, Ubuntu: sudo apt install libportaudio2)."
        ) from error
