"""What the parent set at the desk, kept in the household's folder for the next time."""

import json
import os
import tempfile
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, fields, replace
from pathlib import Path
from typing import Any

from sayit.errors import SayitError
from sayit.practice.turns import MOST_CHILDREN

__all__ = ["WAYS", "Settings", "changed", "forms_for", "only_of", "read_settings", "write_settings"]

WAYS = ("say-back", "other-way", "read-out", "places", "glimpse", "build")
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

    ``turns`` are the children who take turns with ``child``, ``minutes`` is the length. With ``plan`` the practice
    chooses what to ask, else ``ways`` what is asked about numbers from ``low`` to ``high``. ``forms`` are wanted,
    or those in ``forms_of`` for a child (by its number in the record) whose parent chose other ones. ``rate``
    (words a minute), ``volume`` (0.05 to 1, see ``VoiceSettings``) and ``voice`` are how the tool speaks; ``quiet``
    is the silence in seconds that ends an answer, ``patience`` how long to wait for its beginning. ``sound`` is
    "browser" or "machine": whose microphone and loudspeaker. ``captions`` shows what is said on the child's
    screen, ``keys`` lets single letters correct an answer.
    """

    child: str = ""
    turns: tuple[str, ...] = ()
    minutes: int = 10
    plan: bool = True
    ways: tuple[str, ...] = ("say-back", "other-way")
    forms: tuple[str, ...] = FORMS
    forms_of: dict[str, tuple[str, ...]] = field(default_factory=dict)
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


def forms_for(settings: Settings, child: int) -> tuple[str, ...]:
    """The forms wanted from the child of that number in the record."""
    return settings.forms_of.get(str(child), settings.forms)


def only_of(settings: Settings, children: Mapping[int, str]) -> Settings:
    """The settings without whatever was set for a child who is no longer among ``children`` (number and name)."""
    names = children.values()
    return replace(
        settings,
        child=settings.child if settings.child in names else "",
        turns=tuple(name for name in settings.turns if name in names),
        forms_of={number: forms for number, forms in settings.forms_of.items() if int(number) in children},
    )


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
    if name == "forms_of":
        if not isinstance(value, dict):
            raise SayitError("The forms of the children cannot be read: reload the page.")
        return {str(int(child)): _checked("forms", forms) for child, forms in value.items()}
    if name == "turns":
        if (
            not isinstance(value, list | tuple)
            or len(value) >= MOST_CHILDREN
            or not all(isinstance(one, str) for one in value)
        ):
            raise SayitError(f"At most {MOST_CHILDREN} children can take turns.")
        return tuple(value)
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
