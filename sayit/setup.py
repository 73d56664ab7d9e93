"""Set up a fresh machine and start: standard library only, run before anything is installed.

python3 -m sayit.setup           install what is missing, then start practice
python3 -m sayit.setup --test    install what is missing, then check the code and run the tests
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
}
"""Debian package and the program, library or file that shows it is there."""
CHECKS = {
    "ruff check": ["ruff", "check", "--quiet"],
    "ruff format": ["ruff", "format", "--check", "--quiet"],
    "mypy": ["mypy"],
}
"""What is told of the code without running it: a name, and the module that tells it."""
SIDE_BY_SIDE = 3
"""So many tests run at once: two cores are busy, for many tests wait for somebody to have spoken."""
DEBIAN_TEST = {
    "flite": "flite",
    "chromium": "chromium",
    "poppler-utils": "pdftotext",
    "asterisk-core-sounds-en-g722": "/usr/share/asterisk/sounds/en_US_f_Allison/digits",
}


def stop(line: str) -> None:
    print(f"sayit: {line}", file=sys.stderr)
    raise SystemExit(2)


def there(mark: str) -> bool:
    if mark.startswith("/"):
        return Path(mark).exists()
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


def test(rest: list[str]) -> int:
    """Check the code, each check told in a line, then run the tests whatever the checks told; 0 where all is well."""
    failed = []
    for name, command in CHECKS.items():
        done = subprocess.run([str(PYTHON), "-m", *command], cwd=CHECKOUT, capture_output=True, text=True, check=False)
        if done.returncode:
            failed.append(name)
            print(done.stdout + done.stderr)
        print(f"sayit: {name}: {'failed, see above' if done.returncode else 'nothing to mend'}", flush=True)
    tests = [str(PYTHON), "-m", "pytest", "-n", str(SIDE_BY_SIDE), *rest]
    status = subprocess.run(tests, cwd=CHECKOUT, check=False).returncode
    if failed:
        print(f"sayit: {' and '.join(failed)} failed before the tests, see the top")
    return status or (1 if failed else 0)


def main() -> int:
    parser = argparse.ArgumentParser(prog="python3 -m sayit.setup", description=__doc__.splitlines()[0])
    parser.add_argument("--test", action="store_true", help="check the code and run the tests instead of practice")
    args, rest = parser.parse_known_args()
    if sys.version_info < (3, 11):  # noqa: UP036, it may be run by any Python
        stop("Python 3.11 or newer is needed: install it, then run this again with it.")
    print("sayit: setting up (the first time takes some minutes) ...", flush=True)
    system_packages(DEBIAN | DEBIAN_TEST if args.test else DEBIAN)
    packages("[test]" if args.test else "")
    if args.test:
        return test(rest)
    subprocess.run([str(PYTHON), "-m", "sayit.icon"], check=False)
    return subprocess.run([str(PYTHON), "-m", "sayit", *rest], check=False).returncode


if __name__ == "__main__":
    raise SystemExit(main())
