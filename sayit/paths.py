"""Where the phrase bank, the listener models and the record live on disk.

Every folder can be moved by an environment variable, so that tests and a
parent with two machines never touch each other's data.
"""

import os
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def data() -> Path:
    """Folder of the user's own data (``SAYIT_HOME`` or the platform's own place)."""
    if home := os.environ.get("SAYIT_HOME"):
        return Path(home).expanduser()
    from platformdirs import user_data_path

    return user_data_path("sayit", appauthor=False)


def prompts() -> Path:
    """Folder of the phrase bank: ``SAYIT_PROMPTS``, else the one beside the code."""
    folder = os.environ.get("SAYIT_PROMPTS")
    return Path(folder).expanduser() if folder else embedded_prompts()


def embedded_prompts() -> Path:
    """Folder of the phrase bank that comes with sayit."""
    return _embedded("prompts")


def voices() -> Path:
    """Folder of the voices that come with the tool: in the prompts folder, else those beside the code."""
    own = prompts() / "voices"
    return own if own.is_dir() else embedded_prompts() / "voices"


def models() -> Path:
    """Folder of listener models: ``SAYIT_MODELS``, the one beside the code, or the user's."""
    if folder := os.environ.get("SAYIT_MODELS"):
        return Path(folder).expanduser()
    beside = _PACKAGE.parent / "models"
    return beside if beside.is_dir() else data() / "models"


def embedded_models() -> Path:
    """Folder of the models that come with sayit."""
    return _embedded("models")


def _embedded(name: str) -> Path:
    """A folder that comes with sayit: beside the code in a checkout, else in the package."""
    beside = _PACKAGE.parent / name
    return beside if beside.is_dir() else _PACKAGE / f"_{name}"


def record() -> Path:
    """The SQLite file that holds children and answers."""
    return data() / "record.sqlite3"
