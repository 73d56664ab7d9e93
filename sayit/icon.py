"""A sayit icon among the machine's programs, so that every day begins with one touch; standard library only.

Linux: a desktop entry (freedesktop.org, Desktop Entry Specification 1.5).  macOS: an
application folder (Apple, Bundle Programming Guide).  Windows: a shortcut in the start menu,
made by the system's own WScript.Shell.
"""

from __future__ import annotations

import base64
import os
import plistlib
import re
import shlex
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

__all__ = ["Icon", "icon_for", "main", "put"]

_PICTURE = Path(__file__).parent / "page" / "static" / "icon.svg"
_WHAT = "Number names with a child, ten minutes a day"


@dataclass(frozen=True, slots=True)
class Icon:
    """What is written: text by path, which of the files are ``programs``, and a command to run afterwards."""

    files: dict[Path, str]
    programs: frozenset[Path] = frozenset()
    then: tuple[str, ...] = ()


def icon_for(system: str, home: Path, python: Path, data: Path | None = None) -> Icon:
    """The icon on ``system`` (as ``sys.platform`` names it) of a user with ``home``; ``python`` runs sayit.

    ``data`` is where Linux keeps a user's data (``~/.local/share`` if left out).
    """
    if system == "win32":
        return Icon({}, then=("powershell", "-NoProfile", "-NonInteractive", "-EncodedCommand", _encoded(python)))
    if system == "darwin":
        app = home / "Applications" / "sayit.app" / "Contents"
        program = app / "MacOS" / "sayit"
        about = {
            "CFBundleName": "sayit",
            "CFBundleIdentifier": "local.sayit",
            "CFBundleExecutable": "sayit",
            "CFBundlePackageType": "APPL",
            "NSMicrophoneUsageDescription": "sayit listens to the child's answers; nothing leaves this machine.",
        }
        start = f"#!/bin/sh\nexec {shlex.quote(str(python))} -m sayit desk\n"
        return Icon({app / "Info.plist": plistlib.dumps(about).decode(), program: start}, frozenset({program}))
    entry = [
        "[Desktop Entry]",
        "Type=Application",
        "Name=sayit",
        f"Comment={_WHAT}",
        f"Exec={_quoted(str(python))} -m sayit desk",
        f"Icon={_escaped(str(_PICTURE))}",
        "Terminal=false",
        "Categories=Education;Math;",
    ]
    place = (data or home / ".local" / "share") / "applications" / "sayit.desktop"
    return Icon({place: "\n".join(entry) + "\n"})


def put(icon: Icon) -> None:
    """Write the icon; ``OSError`` where that is not possible."""
    for path, content in icon.files.items():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(content, encoding="utf-8")
        if path in icon.programs:
            path.chmod(0o755)
    if icon.then and subprocess.run(icon.then, capture_output=True, check=False).returncode:
        raise OSError("the system made no shortcut")


def main() -> int:
    """Put the icon of this installation where the user's programs are."""
    data = os.environ.get("XDG_DATA_HOME")
    try:
        put(icon_for(sys.platform, Path.home(), Path(sys.executable), Path(data) if data else None))
    except OSError as error:
        print(f"sayit: no icon was made ({error}): start it by the command instead.")
        return 1
    print("sayit: an icon called sayit is among your programs now.")
    return 0


def _quoted(argument: str) -> str:
    # Reserved in an Exec value inside quotes, and a percent sign before a field code; then as any string.
    return _escaped('"' + re.sub(r'(["`$\\])', r"\\\1", argument).replace("%", "%%") + '"')


def _escaped(text: str) -> str:
    return text.replace("\\", "\\\\").replace("\n", "\\n")


def _encoded(python: Path) -> str:
    quiet = python.with_name("pythonw.exe")

    def text(value: object) -> str:
        return "'" + str(value).replace("'", "''") + "'"

    lines = [
        "$ErrorActionPreference = 'Stop'",
        "$shell = New-Object -ComObject WScript.Shell",
        "$place = Join-Path ([Environment]::GetFolderPath('Programs')) 'sayit.lnk'",
        "$link = $shell.CreateShortcut($place)",
        f"$link.TargetPath = {text(quiet)}",
        "$link.Arguments = '-m sayit desk'",
        f"$link.Description = {text(_WHAT)}",
        "$link.Save()",
    ]
    # PowerShell takes an encoded command as UTF-16, so no sign of a path is taken for one of its own.
    return base64.b64encode("\n".join(lines).encode("utf-16-le")).decode()


if __name__ == "__main__":
    raise SystemExit(main())
