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
