"""The program that holds pyttsx3: a request a line in, a reply a line out, both JSON.

``{"do": "list"}`` is answered by ``{"voices": [[id, name, [language, ...]], ...]}``, and
``{"do": "render", "text": ..., "path": ..., "voice": id, "rate": words a minute}`` by ``{"path": ...}``
once the file is written; what goes wrong by ``{"error": ...}``.  It ends with its input.
It runs apart because the systems' speech libraries may crash, hang or print.
"""

import json
import os
import sys
from typing import Any


def answer(request: dict[str, Any]) -> dict[str, Any]:
    """Do what one request asks."""
    import pyttsx3

    # Kept by pyttsx3 itself: the second call gives the same engine.
    engine = pyttsx3.init()
    if request["do"] == "list":
        found = engine.getProperty("voices") or ()
        return {"voices": [[one.id, one.name or one.id, [*map(str, one.languages or ())]] for one in found]}
    engine.setProperty("voice", request["voice"])
    engine.setProperty("rate", request["rate"])
    engine.setProperty("volume", 1.0)
    engine.save_to_file(request["text"], request["path"])
    engine.runAndWait()
    return {"path": request["path"]}


def main() -> None:
    """Answer until the input ends."""
    # Drivers print: replies go where nothing else can.
    replies = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(2, 1)
    for line in sys.stdin.buffer:
        try:
            reply = answer(json.loads(line))
        except Exception as error:  # noqa: BLE001  # drivers raise whatever their system does
            reply = {"error": f"{type(error).__name__}: {error}"}
        print(json.dumps(reply), file=replies, flush=True)


if __name__ == "__main__":
    main()
