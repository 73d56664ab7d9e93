"""Listener models on disk: list, check and install model folders.

Our own model is a network, a graph and its words; a folder that Vosk loads holds an acoustic network, a configuration and a graph (Kaldi's
and Vosk's layout).  Folders are looked for in sayit's ``models/`` and in the places
where the ``vosk`` package itself keeps downloads.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from sayit import paths
from sayit.errors import SayitError
from sayit.hearing.arriving import Progress, copy, fetch, unpack

__all__ = ["Model", "check", "find", "install", "installed"]

_NAME = re.compile(r"[^\W_][\w.-]{0,99}")


@dataclass(frozen=True, slots=True)
class Model:
    """A model folder; ``problem`` says in one line why it cannot be used, or is empty."""

    name: str
    path: Path
    megabytes: float
    problem: str = ""

    @property
    def usable(self) -> bool:
        """Whether it can be opened."""
        return not self.problem


def check(path: Path) -> str:
    """Say in one line what the folder lacks to be a model (ours or one that Vosk loads); "" if nothing."""
    if not path.is_dir():
        return "not a folder"
    if (path / "network.npz").is_file():
        lacking = [name for name in ("graph.npz", "words.txt") if not (path / name).is_file()]
        return f"lacks {', '.join(lacking)}" if lacking else ""
    network = (path / "am" / "final.mdl").is_file() or (path / "final.mdl").is_file()
    graph = any((path / "graph" / name).is_file() for name in ("HCLG.fst", "HCLr.fst")) or any(
        (path / name).is_file() for name in ("HCLG.fst", "HCLr.fst")
    )
    settings = (path / "conf" / "mfcc.conf").is_file() or (path / "mfcc.conf").is_file()
    lacking = [
        what
        for what, there in (("network (final.mdl)", network), ("graph", graph), ("mfcc.conf", settings))
        if not there
    ]
    return f"lacks {', '.join(lacking)}" if lacking else ""


def installed() -> tuple[Model, ...]:
    """Every model folder found, those that come with sayit first, so that none takes their name; unusable ones say why."""
    found = {}
    for folder in _folders():
        for path in _listed(folder):
            try:
                if path.is_dir() and (_looks_like_model(path)) and path.name not in found:
                    found[path.name] = Model(path.name, path, _megabytes(path), check(path))
            except OSError as error:
                found[path.name] = Model(path.name, path, 0.0, f"cannot be read: {error.strerror}")
    return tuple(found.values())


def find(name: str) -> Model | None:
    """The usable model called ``name``, or None."""
    return next((model for model in installed() if model.name == name and model.usable), None)


def install(source: str, *, sha256: str | None = None, progress: Progress | None = None) -> Model:
    """Install a model from a zip file, a folder or an address (http, https).

    Nothing is left behind when it fails.  ``sha256`` is checked against the zip.
    Raises :class:`~sayit.SayitError` with one clear line.
    """
    target = paths.models()
    try:
        with tempfile.TemporaryDirectory() as scratch:
            folder = _source(source, Path(scratch), sha256, progress)
            if problem := check(folder):
                raise SayitError(f"{source} is not a listener model ({problem}); choose another.")
            final = target / _new_name(folder.name, target)
            target.mkdir(parents=True, exist_ok=True)
            # A copy beside the target and one rename: a half-written model is never found.
            arriving = Path(tempfile.mkdtemp(prefix=".arriving-", dir=target))
            try:
                copy(folder, arriving / folder.name)
                (arriving / folder.name).rename(final)
            finally:
                shutil.rmtree(arriving, ignore_errors=True)
    except (OSError, ValueError, RuntimeError) as error:
        # An unreadable file, a path that is none, a full disk.
        reason = " ".join(str(getattr(error, "strerror", None) or error).split())[:200]
        raise SayitError(
            f"{source!r} cannot be installed into {target} ({reason}): check what may be read, free space or set SAYIT_MODELS."
        ) from None
    return Model(final.name, final, _megabytes(final))


def _source(source: str, scratch: Path, sha256: str | None, progress: Progress | None) -> Path:
    """The folder that is to be installed, wherever it comes from."""
    scheme = source.partition("://")[0] if "://" in source else ""
    if scheme and scheme not in ("http", "https"):
        raise SayitError(f"No model is fetched by {scheme!r}: give an address with https, a zip file or a folder.")
    if not source.strip():
        raise SayitError("Nothing is named to install: give a zip file, a folder or an address.")
    where = fetch(source, scratch, progress) if scheme else Path(source).expanduser()
    if where.is_dir():
        if sha256:
            raise SayitError("A checksum belongs to a zip file, and this is a folder: leave --sha256 out.")
        return where.resolve()
    if not where.is_file():
        raise SayitError(f"No zip file or folder at {source!r}: check the path.")
    _check_sum(where, sha256)
    return _unpacked(where, scratch / "here" / "unpacked")


def _new_name(name: str, target: Path) -> str:
    """``name`` where a model may have it; ``SayitError`` where it cannot, or another one has it."""
    if not _NAME.fullmatch(name):
        raise SayitError(f"{name!r} is no name for a model: letters, digits, dots and dashes, such as little-en.")
    # Some disks do not tell capitals from small letters.
    if name.casefold() in (*_names(paths.embedded_models()), "whisper"):
        raise SayitError(f"{name} is the name of a model that comes with sayit: give this one another name.")
    if name.casefold() in _names(target):
        raise SayitError(f"A model called {name} is there already: delete {target / name} first.")
    return name


def _names(folder: Path) -> set[str]:
    return {path.name.casefold() for path in _listed(folder)}


def _listed(folder: Path) -> list[Path]:
    """What lies in a folder; nothing where it cannot be read."""
    try:
        return sorted(folder.iterdir())
    except OSError:
        return []


def _folders() -> Iterator[Path]:
    yield paths.embedded_models()
    yield paths.models()
    if cache := os.environ.get("VOSK_MODEL_PATH"):
        yield Path(cache)
    home = Path(os.path.expanduser("~"))  # noqa: PTH111  # the other way has no answer where nobody has a home
    yield from (home / ".cache" / "vosk", home / "AppData" / "Local" / "vosk", Path("/usr/share/vosk"))


def _looks_like_model(path: Path) -> bool:
    return any((path / part).exists() for part in ("am", "graph", "final.mdl", "conf", "network.npz"))


def _megabytes(path: Path) -> float:
    return sum(file.stat().st_size for file in path.rglob("*") if file.is_file()) / 1e6


def _check_sum(path: Path, wanted: str | None) -> None:
    if not wanted:
        return
    with path.open("rb") as file:
        found = hashlib.file_digest(file, "sha256").hexdigest()
    if found != wanted.lower():
        raise SayitError(f"The checksum of {path.name} is {found}, not the one given: fetch the file again.")


def _unpacked(path: Path, target: Path) -> Path:
    target.mkdir(parents=True)
    unpack(path, target)
    inside = [child for child in target.iterdir() if not child.name.startswith(("__", "."))]
    if check(target) and len(inside) == 1 and inside[0].is_dir():
        return inside[0]
    renamed = target.with_name(path.stem)
    if not _NAME.fullmatch(renamed.name):
        raise SayitError(f"{path.name!r} is no name for a model: name the file like little-en.zip.")
    target.rename(renamed)
    return renamed
