"""Speaking and listening: the sound side of sayit.

The names below are fetched on first use, so that ``import sayit.speech`` costs
nothing: numpy, PortAudio and the models are only loaded by what needs them.
"""

from importlib import import_module
from typing import Any

_HOME = {
    "RATE": "audio",
    "load": "audio",
    "resample": "audio",
    "save": "audio",
    "Utterance": "utterance",
    "number": "utterance",
    "text": "utterance",
    "Bank": "phrases",
    "open_bank": "phrases",
    "SPOKEN_RATE": "voice",
    "Voice": "voice",
    "VoiceSettings": "voice",
    "open_voice": "voice",
    "NoVoice": "synthesis",
    "VOLUME_NOTE": "playback",
    "NoLoudspeaker": "playback",
    "loudspeaker": "playback",
    "play": "playback",
    "FileMicrophone": "capture",
    "Microphone": "capture",
    "MicrophoneLost": "capture",
    "EndRule": "endpoint",
    "Take": "endpoint",
    "listen": "endpoint",
    "open_detector": "endpoint",
    "Level": "level",
    "measure": "level",
    "Heard": "listener",
    "Hypothesis": "listener",
    "Listener": "listener",
    "open_listener": "listener",
}

__all__ = sorted(_HOME)


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(f"{__name__}.{_HOME[name]}"), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *_HOME})
