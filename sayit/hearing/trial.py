"""Trying a listener in a program of its own: a model that brings the recogniser down takes nothing else with it."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import asdict, dataclass
from pathlib import Path

from sayit.errors import SayitError

__all__ = ["Trial", "try_listener"]

_MOST_SECONDS = 180.0


@dataclass(frozen=True, slots=True)
class Trial:
    """What a listener ``heard`` in a sound ("" where nothing is a number), and in how many seconds it was loaded."""

    heard: str
    load_seconds: float


def try_listener(name: str, folder: Path | None, sound: Path) -> Trial:
    """Load the listener of that name, or the one in ``folder``, and let it hear a sound file.

    ``SayitError``, one line, where it cannot, however it fails.
    """
    arguments = [str(sound), name, *([str(folder)] if folder else [])]
    try:
        done = subprocess.run(
            [sys.executable, "-m", "sayit.hearing.trial", *arguments],
            stdin=subprocess.DEVNULL,
            capture_output=True,
            timeout=_MOST_SECONDS,
            check=False,
        )
        found = json.loads(done.stdout.splitlines()[-1]) if done.stdout else {}
    except subprocess.TimeoutExpired:
        found = {"problem": f"it takes longer than {_MOST_SECONDS:.0f} s"}
    except (OSError, ValueError) as error:
        found = {"problem": f"it cannot be tried: {error}"}
    if refused := found.get("refused"):
        raise SayitError(refused)
    if problem := found.get("problem") or ("" if "heard" in found else "it breaks down while it hears"):
        raise SayitError(f"{name} cannot be used ({problem}): `sayit models` lists others.")
    return Trial(found["heard"], found["load_seconds"])


def _hear(sound: str, name: str, folder: str | None = None) -> Trial:
    from time import perf_counter

    from sayit.hearing.listener import open_folder, open_listener
    from sayit.sound.audio import load

    samples = load(sound)
    began = perf_counter()
    listener = open_folder(Path(folder)) if folder else open_listener(name)
    loaded = round(perf_counter() - began, 2)
    return Trial(listener.hear(samples).words, loaded)


def _main() -> None:
    try:
        told = asdict(_hear(*sys.argv[1:]))
    except SayitError as error:
        told = {"refused": str(error)}
    except Exception as error:  # noqa: BLE001  # whatever it is, this is what a child's answer would meet
        told = {"problem": f"it fails while it hears: {type(error).__name__}"}
    sys.stdout.write("\n" + json.dumps(told) + "\n")


if __name__ == "__main__":
    _main()
