"""The icon is written as each system's own description asks."""

import base64
import configparser
import plistlib
import shlex
import subprocess
import sys
from pathlib import Path, PurePosixPath

from sayit.icon import icon_for, put

ODD = 'a b$c"d%e`f\\g'


def test_linux_starts_what_the_entry_names(tmp_path):
    """Desktop Entry Specification 1.5, "The Exec key": quoting, then the escapes of any string, and %% for %."""
    folder = tmp_path / ODD
    folder.mkdir()
    python = folder / "python"
    python.symlink_to(sys.executable)
    put(icon_for("linux", tmp_path, python))
    (written,) = (tmp_path / ".local/share/applications").iterdir()
    parser = configparser.RawConfigParser()
    parser.optionxform = str
    parser.read_string(written.read_text(encoding="utf-8"))
    entry = parser["Desktop Entry"]
    assert entry["Type"] == "Application" and entry["Name"] == "sayit"
    assert Path(entry["Icon"]).is_file()
    line = entry["Exec"].replace("\\\\", "\\")
    program, *rest = shlex.split(line.replace("\\`", "`").replace("\\$", "$"))
    assert program.replace("%%", "%") == str(python)
    assert rest == ["-m", "sayit", "desk"]


def test_macos_gets_an_application_that_runs(tmp_path):
    python = tmp_path / ODD.replace("\\", "") / "python"
    python.parent.mkdir()
    python.write_text('#!/bin/sh\necho "$@"\n', encoding="utf-8")
    python.chmod(0o755)
    put(icon_for("darwin", tmp_path, python))
    app = tmp_path / "Applications/sayit.app/Contents"
    about = plistlib.loads((app / "Info.plist").read_bytes())
    assert about["CFBundlePackageType"] == "APPL" and about["NSMicrophoneUsageDescription"]
    started = subprocess.run([app / "MacOS" / about["CFBundleExecutable"]], capture_output=True, text=True, check=True)
    assert started.stdout.split() == ["-m", "sayit", "desk"]


def test_windows_gets_a_shortcut_without_a_console():
    python = PurePosixPath("C:/Pip's home/python.exe")
    *program, encoded = icon_for("win32", Path(), python).then
    assert program[0] == "powershell" and program[-1] == "-EncodedCommand"
    script = base64.b64decode(encoded).decode("utf-16-le")
    assert "$link.TargetPath = 'C:/Pip''s home/pythonw.exe'" in script
    assert "'-m sayit desk'" in script and "$link.Save()" in script
