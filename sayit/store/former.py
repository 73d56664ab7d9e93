"""What an earlier sayit kept in a file beside the record: taken in, then deleted, since it names children."""

import json
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from sayit.errors import SayitError

if TYPE_CHECKING:
    from sayit.store.record import Record

FORMER = "desk.json"


def take_in(record: "Record") -> None:
    """Take the settings of that file into the record, where it is there. ``SayitError`` where it cannot be deleted."""
    path = record.path.with_name(FORMER)
    if not path.is_file():
        return
    found: Any = None
    with suppress(OSError, ValueError, RecursionError):
        found = json.loads(path.read_text(encoding="utf-8"))
    if isinstance(found, dict):
        _settings(record, found)
        _forms(record, found)
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise SayitError(
            f"{path} is an earlier sayit's and not needed any more, but cannot be deleted ({error.strerror}): "
            "delete it yourself."
        ) from error


def _settings(record: "Record", found: dict[str, Any]) -> None:
    numbers = {child.name: child.id for child in record.children()}
    values = {name: value for name, value in found.items() if name not in ("forms", "forms_of")}
    turns = found.get("turns")
    values["child"] = numbers.get(str(found.get("child")))
    values["turns"] = [numbers[name] for name in turns if name in numbers] if isinstance(turns, list) else []
    record.keep_settings(values)


def _forms(record: "Record", found: dict[str, Any]) -> None:
    own = found.get("forms_of")
    for child in record.children():
        wanted = own.get(str(child.id)) if isinstance(own, dict) else None
        with suppress(SayitError):
            record.set_forms(child, found.get("forms", child.forms) if wanted is None else wanted)
