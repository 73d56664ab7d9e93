"""The desk's part for trying voice and microphone."""

from __future__ import annotations

import time
from random import Random
from typing import Any

from sayit.errors import SayitError
from sayit.hearing.capture import MicrophoneLost
from sayit.hearing.endpoint import EndRule, Take
from sayit.page.backstage import Backstage
from sayit.page.screen import wav
from sayit.page.senses import PageVoice
from sayit.sound.audio import RATE
from sayit.sound.level import measure
from sayit.speaking.phrases import open_bank

__all__ = ["SoundCheck"]

_RULE = EndRule(patience=6.0, quiet=1.2, longest=6.0)


class SoundCheck:
    """The commands that try a device."""

    def __init__(self, stage: Backstage) -> None:
        self._stage = stage
        self.commands = {"hear": self.hear, "test": self.test}

    def hear(self, message: dict[str, Any]) -> None:
        """Say something in the voice that is set."""
        self._stage.free(to_play=True)
        board = self._stage.board
        voice = PageVoice(lambda: board.settings, self._stage.device if self._stage.on_page else None, lambda: False)

        def say() -> None:
            voice.say(open_bank().choose("sound-check", Random()))
            board.part("voice", voice.trouble is None, voice.trouble or "Ready.")

        self._stage.work("try voice", say)

    def test(self, message: dict[str, Any]) -> None:
        """Listen once, and tell how it went."""
        self._stage.free()
        self._stage.board.change(test={"state": "listening"})
        self._stage.work("microphone test", self._listen)

    def _listen(self) -> None:
        board = self._stage.board
        try:
            take = self._stage.listen_once(_RULE)
        except MicrophoneLost as lost:
            board.change(test={"state": "failed", "text": str(lost)})
            return
        level = measure(take.captured)
        text = self._heard(take)
        self._stage.recorded = wav(take.captured, RATE)
        board.change(
            test={
                "state": "done",
                "ok": take.voiced and level.verdict == "good",
                "text": text + (level.advice if level.verdict != "good" else ""),
                "sound": f"/test.wav?{time.monotonic_ns()}",
            }
        )

    def _heard(self, take: Take) -> str:
        if not take.voiced:
            return "No voice was heard. "
        try:
            words = self._stage.listener().hear(take.samples).words
        except SayitError:
            words = ""
        return f"A voice was heard: “{words}”. " if words else "A voice was heard, but no number. "
