"""What comes in from a page, and what is done about it."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

from starlette.websockets import WebSocket

from sayit.errors import SayitError
from sayit.page.pages import Line, Pages

__all__ = ["follow", "from_desk", "from_screen"]

AT_ONCE = ("choice", "forget", "pause", "resume")
"""What touches no disk; a decision must never wait behind what does."""


async def follow(websocket: WebSocket, take: Callable[[dict[str, Any] | bytes], None]) -> None:
    """Hand on what comes in until the page is closed; what is no message is passed over."""
    while True:
        received = await websocket.receive()
        if received["type"] == "websocket.disconnect":
            return
        if received.get("bytes") is not None:
            take(received["bytes"])
            continue
        try:
            message = json.loads(received.get("text") or "")
            # Half a sign of UTF-16 can be neither stored nor said.
            json.dumps(message, ensure_ascii=False).encode()
        except (ValueError, RecursionError):
            continue
        if isinstance(message, dict):
            take(message)


def from_screen(pages: Pages, line: Line, message: dict[str, Any] | bytes) -> None:
    """What the child's screen tells: sound, touches, and how its microphone is."""
    desk = pages.desk
    if line is not pages.screen:
        if isinstance(message, dict) and message.get("kind") == "take":
            pages.take_screen(line)
        return
    if isinstance(message, bytes):
        desk.screen.feed(message)
        return
    match message:
        case {"kind": "microphone", "state": "ready", "rate": int(rate)} if 8_000 <= rate <= 192_000:
            desk.screen_is("ready", rate)
        case {"kind": "microphone", "state": ("lost" | "denied") as state}:
            desk.screen_is(state)
        case {"kind": "said", "number": str(number)}:
            desk.screen.said(number)
        case {"kind": "touched"}:
            desk.touched()
        case {"kind": "placed", "digits": str(digits)}:
            desk.placed(digits)


def from_desk(pages: Pages, line: Line, message: dict[str, Any] | bytes) -> None:
    """What the parent wants: at once where that is possible, else as soon as the record and the disk are free."""
    if isinstance(message, bytes):
        if line is pages.hearing:
            pages.desk.own.feed(message)
        return
    match message:
        case {"kind": "sound", "state": "ready", "rate": int(rate)} if 8_000 <= rate <= 192_000:
            pages.hear_at(line, "ready", rate)
            return
        case {"kind": "sound", "state": ("speaks" | "lost" | "denied") as state}:
            pages.hear_at(line, state)
            return
        case {"kind": "said", "number": str(number)}:
            if line is pages.hearing:
                pages.desk.own.said(number)
            return
    if message.get("kind") in AT_ONCE:
        _carry_out(pages, line, message)
    elif not pages.errands.put(lambda: _carry_out(pages, line, message)):
        line.tell({"refused": "Too much was asked for at once: wait a moment."})


def _carry_out(pages: Pages, line: Line, message: dict[str, Any]) -> None:
    try:
        told = pages.desk.wants(str(message.get("kind")), message)
    except SayitError as error:
        line.tell({"refused": str(error), "state": pages.desk.board.for_desk()})
    else:
        line.tell({"refused": "", "told": told or ""})
