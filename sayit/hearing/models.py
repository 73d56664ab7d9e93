"""Listener models on disk: list, check and install model folders.

Our own model is a network, a graph and its words; a folder that Vosk loads holds an acoustic network, a configuration and a graph (Kaldi's
and Vosk's layout).  Folders are looked for in sayit's ``models/`` and in the places
where the ``vosk`` package itself keeps downloads.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
import urllib.error
import urllib.request
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from sayit import paths
from sayit.errors import SayitError

__all__ = ["Model", "check", "find", "install", "installed"]

Progress = Callable[[int, int | None], None]
"""Called with bytes done and bytes in all (None where the sender does not say)."""

_BLOCK = 1 << 20


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
    """Every model folder found, sayit's own first; unusable ones say why."""
    found = {}
    for folder in _folders():
        for path in sorted(folder.iterdir()) if folder.is_dir() else ():
            if path.is_dir() and (_looks_like_model(path)) and path.name not in found:
                found[path.name] = Model(path.name, path, _megabytes(path), check(path))
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
    with tempfile.TemporaryDirectory() as scratch:
        where = Path(source).expanduser()
        if source.startswith(("http://", "https://")):
            where = _download(source, Path(scratch), progress)
        if where.is_dir():
            if sha256:
                raise SayitError("A checksum belongs to a zip file, and this is a folder: leave --sha256 out.")
            folder = where
        elif where.is_file():
            _check_sum(where, sha256)
            folder = _unpack(where, Path(scratch) / "unpacked")
        else:
            raise SayitError(f"No zip file or folder at {source}: check the path.")
        if problem := check(folder):
            raise SayitError(f"{source} is not a listener model ({problem}); choose another.")
        if (paths.embedded_models() / folder.name).exists():
            raise SayitError(f"{folder.name} is the name of a model that comes with sayit: give this one another name.")
        final = target / folder.name
        if final.exists():
            raise SayitError(f"A model called {folder.name} is there already: delete {final} first.")
        try:
            target.mkdir(parents=True, exist_ok=True)
            # A copy beside the target and one rename: a half-written model is never found.
            arriving = Path(tempfile.mkdtemp(prefix=".arriving-", dir=target))
            try:
                shutil.copytree(folder, arriving / folder.name)
                (arriving / folder.name).rename(final)
            finally:
                shutil.rmtree(arriving, ignore_errors=True)
        except OSError as error:
            raise SayitError(
                f"Could not write to {target} ({error.strerror}): free space or set SAYIT_MODELS."
            ) from None
    return Model(final.name, final, _megabytes(final))


def _folders() -> Iterator[Path]:
    yield paths.models()
    yield paths.embedded_models()
    if cache := os.environ.get("VOSK_MODEL_PATH"):
        yield Path(cache)
    home = Path.home()
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


def _download(address: str, scratch: Path, progress: Progress | None) -> Path:
    path = scratch / (address.rstrip("/").rsplit("/", 1)[-1] or "model.zip")
    try:
        with urllib.request.urlopen(address, timeout=30) as reply, path.open("wb") as file:  # noqa: S310  # http or https: see install
            length = reply.headers.get("Content-Length")
            total, done = int(length) if length else None, 0
            while block := reply.read(_BLOCK):
                file.write(block)
                done += len(block)
                if progress:
                    progress(done, total)
    except (urllib.error.URLError, TimeoutError, OSError) as error:
        reason = getattr(error, "reason", error)
        raise SayitError(
            f"Could not fetch {address} ({reason}): check the connection, or install from a zip file."
        ) from None
    if total is not None and done != total:
        raise SayitError(f"{address} broke off after {done} of {total} bytes: try again.")
    return path


def _unpack(path: Path, target: Path) -> Path:
    try:
        with zipfile.ZipFile(path) as archive:
            for name in archive.namelist():
                if not (target / name).resolve().is_relative_to(target.resolve()):
                    raise SayitError(f"{path.name} holds a path outside its own folder ({name}): do not use it.")
            archive.extractall(target)
    except (zipfile.BadZipFile, EOFError):
        raise SayitError(f"{path.name} is not a whole zip file: fetch it again.") from None
    inside = [child for child in target.iterdir() if not child.name.startswith(("__", "."))]
    if check(target) and len(inside) == 1 and inside[0].is_dir():
        return inside[0]
    renamed = target.with_name(path.stem)
    target.rename(renamed)
    return renamed
