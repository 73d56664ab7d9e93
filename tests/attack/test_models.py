"""Bad archives, addresses and model folders: each refused in one line, and never believed to work."""

import http.server
import os
import random
import shutil
import socket
import threading
import zipfile
from pathlib import Path

import numpy as np
import pytest

from sayit import paths
from sayit.commands import main
from sayit.hearing import arriving, models

pytestmark = pytest.mark.attack

PARTS = ("am/final.mdl", "graph/HCLG.fst", "conf/mfcc.conf")


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("SAYIT_MODELS", str(tmp_path / "models"))
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.delenv("VOSK_MODEL_PATH", raising=False)
    # A bomb of a few MB tells as much as one of many GB.
    monkeypatch.setattr(arriving, "_USUAL", 5_000_000)
    return tmp_path


def archive(path, entries, method=zipfile.ZIP_DEFLATED):
    with zipfile.ZipFile(path, "w", method) as whole:
        for name, content in entries:
            whole.writestr(name, content)
    return path


def good(top="little-en/"):
    return [(f"{top}{part}", b"x" * 900) for part in PARTS]


def patched(path, old, new):
    path.write_bytes(path.read_bytes().replace(old, new))
    return path


def flagged(path):
    """Every entry says that it is encrypted: flag bit 0 in both headers (APPNOTE.TXT 4.4.4)."""
    content = bytearray(path.read_bytes())
    for mark, flags in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        at = -1
        while (at := content.find(mark, at + 1)) >= 0:
            content[at + flags] |= 1
    path.write_bytes(content)
    return path


def lying(path):
    """The bomb says in both headers that it is small."""
    size = (20_000_000).to_bytes(4, "little")
    return patched(path, size, (900).to_bytes(4, "little"))


BOMB = [*good(), ("little-en/zeros", bytes(20_000_000))]
ARCHIVES = {
    "empty file": lambda path: path.touch() or path,
    "no entries": lambda path: archive(path, []),
    "no model": lambda path: archive(path, [("readme.txt", b"hello")]),
    "a mark and no more": lambda path: path.write_bytes(b"PK\x03\x04 no more") and path,
    "encrypted": lambda path: flagged(archive(path, good())),
    "bomb": lambda path: archive(path, BOMB),
    "bomb that lies": lambda path: lying(archive(path, BOMB)),
    "bomb by lzma": lambda path: archive(path, BOMB, zipfile.ZIP_LZMA),
    "thousands of files": lambda path: archive(path, [*good(), *((f"little-en/{n}", b"") for n in range(2_500))]),
    "outside": lambda path: archive(path, [*good(), ("../../evil", b"x")]),
    "from the root": lambda path: archive(path, [*good(), ("/tmp/evil-of-sayit", b"x")]),
    "over-long name": lambda path: archive(path, [*good(), ("little-en/" + "n" * 300, b"x")]),
    "over-long path": lambda path: archive(path, [*good(), ("little-en/" + "n/" * 3_000 + "n", b"x")]),
    "file and folder": lambda path: archive(path, [*good(), ("little-en/am", b"x")]),
    "twice the same": lambda path: archive(path, [*good(), good()[0]]),
    "unknown method": lambda path: patched(archive(path, good()), b"\x08\x00", b"\x63\x00"),
    "broken checksum": lambda path: patched(archive(path, good(), zipfile.ZIP_STORED), b"xxxx", b"xxxy"),
    "default name": lambda path: archive(path, good("numbers-en/")),
    "default name in capitals": lambda path: archive(path, good("NUMBERS-en/")),
    "name of an extra": lambda path: archive(path, good("whisper/")),
    "name with an escape": lambda path: archive(path, good("\x1b[2Jlittle/")),
    "name of dots": lambda path: archive(path, good(".../")),
}


def folder(path, name, more):
    place = path / name
    for part in PARTS:
        (place / part).parent.mkdir(parents=True, exist_ok=True)
        (place / part).write_bytes(b"x" * 900)
    more(place)
    return place


FOLDERS = {
    "link": lambda path: folder(path, "link", lambda place: (place / "passwd").symlink_to("/etc/passwd")),
    "loop": lambda path: folder(path, "loop", lambda place: (place / "again").symlink_to(place)),
    "queue": lambda path: folder(path, "queue", lambda place: os.mkfifo(place / "fifo")),
    "folders as files": lambda path: (path / "odd" / "am" / "final.mdl").mkdir(parents=True) or path / "odd",
    "default": lambda path: folder(path, "numbers-en", lambda place: None),
    "new line in its name": lambda path: folder(path, "new\nline", lambda place: None),
    "nothing in it": lambda path: (path / "nothing").mkdir() or path / "nothing",
    "a queue": lambda path: os.mkfifo(path / "pipe") or path / "pipe",
    "a device": lambda path: Path("/dev/zero"),
}

SOURCES = (
    "", "\0", "~nobody-of-this-name/x.zip", "x" * 5_000, "/" + "a/" * 2_000, "\ud800.zip", "-", ".", "..", "/", "ftp://127.0.0.1/m.zip",
    "file:///etc/passwd", "http://", "https://", "http:///m.zip", "http://[::1/m.zip", "http://127.0.0.1:99999/m.zip",
    "http://127.0.0.1:no/m.zip", "http://a b/m.zip", "http://127.0.0.1:9/\0", "http://127.0.0.1:9/m.zip", "http://\ud800/m.zip",
    "http://" + "a" * 300 + "/m.zip", "http://127.0.0.1:9/" + "%2e%2e%2f" * 9 + "m.zip", "HTTP://127.0.0.1:9/m.zip",
)  # fmt: skip

ANSWERS = {
    "nonsense": b"this is no HTTP\r\n\r\n",
    "nothing": b"",
    "odd length": b"HTTP/1.1 200 OK\r\nContent-Length: many\r\n\r\nx",
    "longer": b"HTTP/1.1 200 OK\r\nContent-Length: 99999\r\n\r\nPK",
    "negative": b"HTTP/1.1 200 OK\r\nContent-Length: -1\r\n\r\nPK",
    "in odd pieces": b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\nx",
    "for ever": b"HTTP/1.1 302 Found\r\nLocation: /for-ever\r\n\r\n",
    "to a file": b"HTTP/1.1 302 Found\r\nLocation: file:///etc/passwd\r\n\r\n",
    "gone": b"HTTP/1.1 404 Not Found\r\nContent-Length: 0\r\n\r\n",
    "endless head": b"HTTP/1.1 200 OK\r\n" + b"X: y\r\n" * 3_000,
}


@pytest.fixture
def sender():
    """Addresses that answer as told, ``sender(answer)``."""
    opened = []

    def start(answer):
        class Odd(http.server.BaseHTTPRequestHandler):
            def handle_one_request(self):
                self.raw_requestline = self.rfile.readline()
                self.wfile.write(answer)
                self.close_connection = True

        server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Odd)
        server.handle_error = lambda *_: None
        threading.Thread(target=server.serve_forever, args=(0.01,), daemon=True).start()
        opened.append(server)
        return f"http://127.0.0.1:{server.server_port}/model.zip"

    yield start
    for server in opened:
        server.shutdown()
        server.server_close()


def damaged(home, seed):
    """A real archive, changed at random: cut short, or some bytes turned."""
    turn = random.Random(seed)
    path = archive(home / f"damaged-{seed}.zip", good(), turn.choice([zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED]))
    content = bytearray(path.read_bytes())
    if turn.random() < 0.3:
        del content[turn.randrange(len(content)) :]
    for _ in range(turn.randrange(1, 20)):
        if content:
            content[turn.randrange(len(content))] = turn.randrange(256)
    path.write_bytes(content)
    return path


def attempt(capsys, tally, source, *, may_work=False):
    """Install; one line and status 2, or where it happens to be whole, a model that is then taken away again."""
    with tally.one():
        try:
            status = main(["models", "--install", source])
        except Exception as error:  # noqa: BLE001  # a traceback for the parent
            tally.tracebacks += 1
            print(f"{source!r}: {error!r}")
            return
    out, complaint = capsys.readouterr()
    if status == 0 and may_work:
        shutil.rmtree(paths.models())
        return
    assert status == 2 and out == "", source
    assert complaint.startswith("sayit: ") and len(complaint.splitlines()) == 1, (source, complaint)
    assert complaint.rstrip("\n").isprintable(), complaint
    assert not paths.models().exists() or list(paths.models().iterdir()) == [], source


@pytest.mark.skipif(os.name == "nt", reason="POSIX links and queues")
@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_bad_archives_folders_and_addresses(home, capsys, tally, long, sender):
    for number, make in enumerate(ARCHIVES.values()):
        attempt(capsys, tally, str(make(home / f"archive-{number}.zip")), may_work=False)
    for make in FOLDERS.values():
        attempt(capsys, tally, str(make(home)))
    for source in SOURCES:
        attempt(capsys, tally, source)
    for answer in ANSWERS.values():
        attempt(capsys, tally, sender(answer))
    for seed in range(400 if long else 40):
        attempt(capsys, tally, str(damaged(home, seed)), may_work=True)
    assert not (home / "evil").exists() and not Path("/tmp/evil-of-sayit").exists()
    assert models.find("numbers-en").path == paths.embedded_models() / "numbers-en"
    assert tally.tried >= 100
    tally.nothing_lost()


def test_a_folder_of_its_name_does_not_replace_the_default(home):
    """Put there by hand, without ``--install``."""
    folder(home / "models", "numbers-en", lambda place: None)
    (found,) = [model for model in models.installed() if model.name == "numbers-en"]
    assert found.path == paths.embedded_models() / "numbers-en"


def own(home, name, change):
    """A copy of our own model, changed."""
    place = home / name
    shutil.copytree(paths.embedded_models() / "numbers-en", place)
    change(place)
    return place


def arrays(path, change):
    with np.load(path) as file:
        held = {name: file[name] for name in file.files}
    change(held)
    np.savez(path, **held)


def _wrong_shapes(held):
    for name in held:
        if held[name].ndim > 1:
            held[name] = held[name][:, :1].repeat(3, axis=1)


CHANGES = {
    "few words": lambda place: (place / "words.txt").write_text("a 0\n"),
    "garbage for Vosk": None,
    "no words": lambda place: (place / "words.txt").write_text(""),
    "words that are no text": lambda place: (place / "words.txt").write_bytes(bytes(range(256))),
    "network cut short": lambda place: (place / "network.npz").write_bytes(
        (place / "network.npz").read_bytes()[:9_000]
    ),
    "no network": lambda place: arrays(place / "network.npz", dict.clear),
    "no graph": lambda place: arrays(place / "graph.npz", dict.clear),
    "wrong shapes": lambda place: arrays(place / "network.npz", _wrong_shapes),
    "graph for network": lambda place: shutil.copy(place / "graph.npz", place / "network.npz"),
    "nothing but noughts": lambda place: (place / "network.npz").write_bytes(bytes(100)),
}


def test_a_model_that_fails_when_it_hears_is_not_said_to_work(home, capsys, tally, long):
    for name, change in list(CHANGES.items())[: None if long else 2]:
        place = own(home, name, change) if change else folder(home, name, lambda place: None)
        with tally.one():
            status = main(["models", "--check", str(place)])
        out, complaint = capsys.readouterr()
        tally.tracebacks += "Traceback" in complaint
        assert status == 2 and out == "" and len(complaint.splitlines()) == 1, (name, out, complaint)
    tally.nothing_lost()


def test_whoever_never_answers_is_given_up(home, capsys, monkeypatch):
    """The connection is taken and nothing is sent: the time limit of the fetch, made short here, holds."""
    monkeypatch.setattr(arriving, "_SILENT_SECONDS", 0.2)
    with socket.create_server(("127.0.0.1", 0)) as quiet:
        assert main(["models", "--install", f"http://127.0.0.1:{quiet.getsockname()[1]}/m.zip"]) == 2
    assert "timed out" in capsys.readouterr().err
