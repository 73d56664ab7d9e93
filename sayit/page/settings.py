"""What the parent set at the desk, kept in the household's folder for the next time."""

import json
import os
import tempfile
from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path
from typing import Any

from sayit.errors import SayitError

__all__ = ["WAYS", "Settings", "changed", "read_settings", "write_settings"]

WAYS = ("say-back", "other-way", "read-out", "glimpse", "build")
FORMS = ("plain", "explicit")
SOUND = ("browser", "machine")
HIGHEST = 9_999

_LIMITS = {
    "minutes": (1, 60, "minutes"),
    "rate": (80, 220, "words a minute"),
    "volume": (0.05, 1.0, ""),
    "quiet": (0.4, 5.0, "seconds"),
    "patience": (3.0, 60.0, "seconds"),
    "low": (1, HIGHEST, ""),
    "high": (1, HIGHEST, ""),
}
_CHOICES = {"ways": WAYS, "forms": FORMS}


@dataclass(frozen=True, slots=True)
class Settings:
    """How a sitting is played.

    ``minutes`` is its length; with ``plan`` the practice chooses what to ask, else ``ways`` and ``forms`` what is asked about numbers from
    ``low`` to ``high``; ``rate`` (words a minute), ``volume`` (0.05 to 1, see
    ``VoiceSettings``) and ``voice`` how the tool speaks; ``quiet`` the silence in seconds that ends
    an answer, ``patience`` how long to wait for its beginning. ``sound`` is "browser" or
    "machine": whose microphone and loudspeaker. ``captions`` shows what is said on
    the child's screen, ``keys`` lets single letters correct an answer.
    """

    child: str = ""
    minutes: int = 10
    plan: bool = True
    ways: tuple[str, ...] = ("say-back", "other-way")
    forms: tuple[str, ...] = FORMS
    low: int = 1
    high: int = 100
    rate: int = 130
    volume: float = 0.4
    voice: str = ""
    quiet: float = 1.2
    patience: float = 8.0
    sound: str = "browser"
    captions: bool = True
    keys: bool = True


_KINDS = {field.name: type(getattr(Settings(), field.name)) for field in fields(Settings)}


def changed(settings: Settings, wanted: dict[str, Any]) -> Settings:
    """The settings with what the parent changed; ``SayitError``, one line, for a value that makes no sense."""
    values = {}
    for name, value in wanted.items():
        if name not in _KINDS:
            raise SayitError(f"There is no setting {name!r}: reload the page.")
        values[name] = _checked(name, value)
    new = replace(settings, **values)
    if new.low > new.high:
        raise SayitError(f"{new.low} to {new.high} runs backwards: give the smaller number first.")
    return new


def _checked(name: str, value: Any) -> Any:
    kind = _KINDS[name]
    if name in _CHOICES:
        allowed = _CHOICES[name]
        if not isinstance(value, list | tuple) or not value or not set(map(str, value)) <= set(allowed):
            raise SayitError(f"Choose at least one of: {', '.join(allowed)}.")
        return tuple(one for one in allowed if one in value)
    if name == "sound" and value not in SOUND:
        raise SayitError(f"Choose one of: {', '.join(SOUND)}.")
    if kind is bool or kind is str:
        if not isinstance(value, kind) or (kind is str and len(value) > 200):
            raise SayitError(f"{name} cannot be {str(value)[:40]!r}: reload the page.")
        return value
    low, high, unit = _LIMITS[name]
    if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
        raise SayitError(f"{name} must be {low} to {high} {unit}".rstrip() + ".")
    return kind(value)


def read_settings(path: Path) -> Settings:
    """The settings of last time; the usual ones where there are none or the file is spoilt."""
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
        return changed(Settings(), {name: value for name, value in found.items() if name in _KINDS})
    except (OSError, ValueError, AttributeError, SayitError):
        return Settings()


def write_settings(settings: Settings, path: Path) -> None:
    """Keep the settings; ``SayitError``, one line, where the folder cannot be written."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile("w", dir=path.parent, delete=False, encoding="utf-8") as file:
            json.dump(asdict(settings), file, ensure_ascii=False, indent=1)
        os.replace(file.name, path)
    except OSError as error:
        raise SayitError(f"The settings cannot be kept in {path} ({error.strerror}): free some space there.") from error
