"""How the household practises, whatever face a sitting has: kept in the record, so that every face obeys."""

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import Any

from sayit.errors import SayitError
from sayit.practice.activities import ACTIVITIES
from sayit.practice.free import PLAINEST
from sayit.practice.path import load_path
from sayit.practice.turns import MOST_CHILDREN
from sayit.store.record import Record

__all__ = ["FREELY", "Settings", "changed", "keep_settings", "settings_of"]

FREELY = tuple(slug for slug, activity in ACTIVITIES.items() if activity.freely)
"""The activities that a parent can choose for free practice."""

SOUND = ("browser", "machine")
_HIGHEST = load_path().limit
_LIMITS: dict[str, tuple[float, float, str]] = {
    "minutes": (1, 60, "minutes"),
    "rate": (80, 220, "words a minute"),
    "volume": (0.05, 1.0, ""),
    "quiet": (0.4, 5.0, "seconds"),
    "patience": (3.0, 60.0, "seconds"),
    "low": (1, _HIGHEST, ""),
    "high": (1, _HIGHEST, ""),
}


@dataclass(frozen=True, slots=True)
class Settings:
    """How a sitting is played.

    ``child`` is whose turn comes first, ``turns`` are the children who take turns with it, ``minutes`` is the length. With
    ``plan`` the practice chooses what to ask, else the activities ``ways`` about numbers from ``low`` to ``high``. ``rate``
    (words a minute), ``volume`` (0.05 to 1, see ``VoiceSettings``) and ``voice`` are how the tool speaks; ``quiet``
    is the silence in seconds that ends an answer, ``patience`` how long to wait for its beginning. ``sound`` is
    "browser" or "machine": whose microphone and loudspeaker. ``captions`` shows what is said on the child's
    screen, without its number until the answer, ``keys`` lets single letters correct an answer. With ``use_and`` numbers
    are said and printed as "three hundred and two"; either is right in an answer. ``growing`` lets a number grow while
    the child says it.
    """

    child: str = ""
    turns: tuple[str, ...] = ()
    minutes: int = 10
    plan: bool = True
    ways: tuple[str, ...] = PLAINEST
    low: int = 1
    high: int = 100
    rate: int = 130
    volume: float = 0.4
    voice: str = ""
    quiet: float = 1.2
    patience: float = 8.0
    sound: str = "browser"
    captions: bool = False
    keys: bool = True
    use_and: bool = False
    growing: bool = True


_KINDS = {field.name: type(getattr(Settings(), field.name)) for field in fields(Settings)}
_WHO = ("child", "turns")


def settings_of(record: Record) -> Settings:
    """The household's settings.

    A value that makes no sense any more is the usual one, and a child who was forgotten is left out.
    """
    stored = record.settings()
    names = {child.id: child.name for child in record.children()}
    found = _sensible({name: value for name, value in stored.items() if name not in _WHO})
    turns = stored.get("turns")
    return replace(
        found,
        child=names.get(_number(stored.get("child")), ""),
        turns=tuple(names[one] for one in map(_number, turns if isinstance(turns, list) else ()) if one in names),
    )


def keep_settings(record: Record, settings: Settings) -> None:
    """Keep the settings; children stand in them by their number, so that no name stays behind."""
    numbers = {child.name: child.id for child in record.children()}
    values: dict[str, Any] = {name: getattr(settings, name) for name in _KINDS}
    values["child"] = numbers.get(settings.child)
    values["turns"] = [numbers[name] for name in settings.turns if name in numbers]
    record.keep_settings(values)


def changed(settings: Settings, wanted: Mapping[str, Any]) -> Settings:
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
    if name == "turns":
        names = isinstance(value, list | tuple) and all(isinstance(one, str) for one in value)
        if not names or len(value) >= MOST_CHILDREN:
            raise SayitError(f"At most {MOST_CHILDREN} children can take turns.")
        return tuple(value)
    if name == "ways":
        if not isinstance(value, list | tuple) or not value or not set(map(str, value)) <= set(FREELY):
            raise SayitError(f"Choose at least one of: {', '.join(FREELY)}.")
        return tuple(one for one in FREELY if one in value)
    if name == "sound" and value not in SOUND:
        raise SayitError(f"Choose one of: {', '.join(SOUND)}.")
    if kind is bool or kind is str:
        if not isinstance(value, kind) or (kind is str and len(value) > 200):
            raise SayitError(f"{name} cannot be {str(value)[:40]!r}: reload the page.")
        return value
    low, high, unit = _LIMITS[name]
    if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
        raise SayitError(f"{name} must be {low:g} to {high:g} {unit}".rstrip() + ".")
    return kind(value)


def _sensible(stored: Mapping[str, Any]) -> Settings:
    values = {}
    for name, value in stored.items():
        try:
            values[name] = _checked(name, value)
        except (SayitError, KeyError):
            continue
    usual = Settings()
    found = replace(usual, **values)
    return found if found.low <= found.high else replace(found, low=usual.low, high=usual.high)


def _number(value: Any) -> int:
    return value if isinstance(value, int) and not isinstance(value, bool) else 0
