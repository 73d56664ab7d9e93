"""Installing and checking model folders, with real files and a real local server."""

import functools
import hashlib
import http.server
import threading
import zipfile
from pathlib import Path

import pytest

from sayit import SayitError
from sayit.hearing import models


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("SAYIT_MODELS", str(tmp_path / "models"))
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.delenv("VOSK_MODEL_PATH", raising=False)
    return tmp_path


def added() -> list[models.Model]:
    """Models beside the embedded one."""
    return [model for model in models.installed() if model.name != "numbers-en"]


def model_folder(where: Path, name: str = "little-en") -> Path:
    folder = where / name
    for part in ("am/final.mdl", "graph/HCLG.fst", "conf/mfcc.conf"):
        (folder / part).parent.mkdir(parents=True, exist_ok=True)
        (folder / part).write_bytes(b"x" * 1000)
    return folder


def zipped(folder: Path, *, inside: bool = True) -> Path:
    path = folder.with_suffix(".zip")
    with zipfile.ZipFile(path, "w") as archive:
        for file in folder.rglob("*"):
            archive.write(file, file.relative_to(folder.parent if inside else folder))
    return path


@pytest.mark.parametrize("inside", [True, False])
def test_a_zip_is_installed_and_listed(home, inside):
    model = models.install(str(zipped(model_folder(home / "src"), inside=inside)))
    assert model.name == "little-en"
    assert [model.name for model in added()] == ["little-en"]
    assert models.find("little-en").usable


def test_a_folder_is_installed_once(home):
    source = model_folder(home / "src")
    models.install(str(source))
    with pytest.raises(SayitError, match="there already"):
        models.install(str(source))


def test_an_address_is_fetched_with_progress_and_checksum(home):
    path = zipped(model_folder(home / "src"))
    handler = functools.partial(http.server.SimpleHTTPRequestHandler, directory=path.parent)
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        address = f"http://127.0.0.1:{server.server_port}/{path.name}"
        seen = []
        sum_ = hashlib.sha256(path.read_bytes()).hexdigest()
        models.install(address, sha256=sum_, progress=lambda done, total: seen.append((done, total)))
        assert seen[-1] == (path.stat().st_size, path.stat().st_size)
        with pytest.raises(SayitError, match="checksum"):
            models.install(address, sha256="0" * 64)
        with pytest.raises(SayitError, match="Could not fetch"):
            models.install(address + ".gone")
        server.shutdown()


def test_no_network_is_one_clear_line(home):
    with pytest.raises(SayitError, match="check the connection") as caught:
        models.install("http://127.0.0.1:9/model.zip")
    assert "\n" not in str(caught.value)


def test_bad_sources_leave_nothing_behind(home):
    broken = home / "broken.zip"
    broken.write_bytes(b"PK\x03\x04 not a zip")
    empty = home / "empty"
    empty.mkdir()
    outside = home / "outside.zip"
    with zipfile.ZipFile(outside, "w") as archive:
        archive.writestr("../evil.txt", "x")
    sealed = zipped(model_folder(home / "src"))
    # Bit 0 of the flags, in the header of each file and in the list at the end (APPNOTE.TXT 4.4.4).
    sealed.write_bytes(sealed.read_bytes().replace(b"PK\1\2\x14\3\x14\0\0", b"PK\1\2\x14\3\x14\0\1"))
    wanted = {broken: "not a whole zip", empty: "lacks", outside: "outside", sealed: "encrypted", home / "no": "No zip"}
    for source, words in wanted.items():
        with pytest.raises(SayitError, match=words):
            models.install(str(source))
    assert added() == []
    assert not (home / "evil.txt").exists()


def test_a_damaged_folder_is_listed_with_its_problem(home):
    folder = models.install(str(model_folder(home / "src"))).path
    (folder / "am" / "final.mdl").unlink()
    (model,) = added()
    assert not model.usable
    assert "final.mdl" in model.problem
    assert models.find("little-en") is None


def test_the_name_of_a_model_that_comes_with_sayit_is_refused(home):
    with pytest.raises(SayitError, match="comes with sayit"):
        models.install(str(model_folder(home / "src", "numbers-en")))
    assert added() == []
