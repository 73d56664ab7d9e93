"""Set up a fresh machine and start: standard library only, run before anything is installed.

python3 -m sayit.setup           install what is missing, then start practice
python3 -m sayit.setup --test    install what is missing, then run the tests
"""

import argparse
import os
import shutil
import subprocess
import sys
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parent.parent
PLACE = CHECKOUT / ".venv"
PYTHON = PLACE / ("Scripts/python.exe" if os.name == "nt" else "bin/python")

DEBIAN = {
    "espeak-ng": "espeak-ng",
    "libespeak-ng1": "libespeak-ng.so.1",
    "libportaudio2": "libportaudio.so.2",
    "libpango-1.0-0": "libpango-1.0.so.0",
    "libpangoft2-1.0-0": "libpangoft2-1.0.so.0",
    "libharfbuzz-subset0": "libharfbuzz-subset.so.0",
}
"""Debian package and the program or library that shows it is there."""
DEBIAN_TEST = {"flite": "flite", "chromium": "chromium", "poppler-utils": "pdftotext"}


def stop(line: str) -> None:
    print(f"sayit: {line}", file=sys.stderr)
    raise SystemExit(2)


def there(mark: str) -> bool:
    if ".so" not in mark:
        return shutil.which(mark) is not None
    import ctypes

    try:
        ctypes.CDLL(mark)
    except OSError:
        return False
    return True


def system_packages(wanted: dict[str, str]) -> None:
    """Install Debian's packages for voice and sound; elsewhere the system brings its own."""
    missing = [package for package, mark in wanted.items() if not there(mark)]
    if not missing or not sys.platform.startswith("linux"):
        return
    if shutil.which("apt-get") is None:
        print(f"sayit: no apt-get here: for voice and sound install the likes of {', '.join(missing)} yourself.")
        return
    root = [] if os.geteuid() == 0 else ["sudo"]
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (["update", "-qq"], ["install", "-y", "-qq", *missing]):
        if subprocess.run([*root, "apt-get", *command], env=quiet, stdout=subprocess.DEVNULL, check=False).returncode:
            stop(f"apt-get could not install {', '.join(missing)}: check the connection, then run this again.")


def packages(extras: str) -> None:
    """Make the virtual environment and install sayit into it."""
    if not PYTHON.exists():
        if there("apt-get"):
            try:
                import ensurepip  # noqa: F401
            except ImportError:
                system_packages({"python3-venv": "no such program"})
        if subprocess.run([sys.executable, "-m", "venv", str(PLACE)], check=False).returncode:
            stop("Python could not make a virtual environment: install python3-venv, then run this again.")
    pip = [str(PYTHON), "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    if subprocess.run([*pip, "--editable", f"{CHECKOUT}{extras}"], check=False).returncode:
        stop("pip could not install the packages: check the connection, then run this again.")


def main() -> int:
    parser = argparse.ArgumentParser(prog="python3 -m sayit.setup", description=__doc__.splitlines()[0])
    parser.add_argument("--test", action="store_true", help="run the tests instead of practice")
    args, rest = parser.parse_known_args()
    if sys.version_info < (3, 11):  # noqa: UP036  # run by whatever Python is there
        stop("Python 3.11 or newer is needed: install it, then run this again with it.")
    print("sayit: setting up (the first time takes some minutes) ...", flush=True)
    system_packages(DEBIAN | DEBIAN_TEST if args.test else DEBIAN)
    packages("[test]" if args.test else "")
    command = ["-m", "pytest", *rest] if args.test else ["-m", "sayit", *rest]
    return subprocess.run([str(PYTHON), *command], cwd=CHECKOUT if args.test else None, check=False).returncode


if __name__ == "__main__":
    raise SystemExit(main())
