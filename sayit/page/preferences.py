"""The desk's part for the household's settings, and what works: screen, microphone, recogniser, voice."""

from __future__ import annotations

from typing import Any

import numpy as np

from sayit.errors import SayitError
from sayit.page.backstage import SCREEN_IS, UNKNOWN, Backstage, in_background
from sayit.page.household import Children
from sayit.page.senses import PageVoice
from sayit.sound.audio import RATE
from sayit.speaking.voices import english_voices

__all__ = ["Preferences"]

_RATE_STEP, _VOLUME_STEP = 15, 1.25


class Preferences:
    """The commands about how sittings are played."""

    def __init__(self, stage: Backstage, household: Children) -> None:
        self._stage = stage
        self._household = household
        self.commands = {"set": self.set, "rate": self.slower_or_faster, "volume": self.softer_or_louder}

    def look(self) -> None:
        """See what works, each in the background where it takes time."""
        self._stage.board.part("recogniser", None, "Loading ...")
        in_background("load recogniser", self._load)
        in_background("try voice", self._try_voice)
        self.look_at_screen()

    def look_at_screen(self) -> None:
        """Tell how the child's screen and its microphone are."""
        state, board = self._stage.screen.state, self._stage.board
        board.part("screen", state != "closed", SCREEN_IS["closed"] if state == "closed" else "Open.")
        if self._stage.on_page:
            board.part("microphone", state == "ready", SCREEN_IS[state])
        else:
            board.part("microphone", None, "This machine's own: try it below.")

    def set(self, message: dict[str, Any]) -> None:
        """Change settings; a child takes no turns with itself."""
        wanted = message.get("values")
        if not isinstance(wanted, dict):
            raise SayitError(UNKNOWN)
        settings = self._stage.set(wanted)
        if settings.child in settings.turns:
            self._stage.set({"turns": tuple(name for name in settings.turns if name != settings.child)})
        self.look_at_screen()
        if "child" in wanted:
            self._household.look_ahead_soon()
        if {"rate", "volume", "voice"} & set(wanted):
            in_background("try voice", self._try_voice)

    def slower_or_faster(self, message: dict[str, Any]) -> None:
        """One step of the speed of speech."""
        step = _RATE_STEP if message.get("way") == "up" else -_RATE_STEP
        self.set({"values": {"rate": min(220, max(80, self._stage.board.settings.rate + step))}})

    def softer_or_louder(self, message: dict[str, Any]) -> None:
        """One step of the volume."""
        factor = _VOLUME_STEP if message.get("way") == "up" else 1 / _VOLUME_STEP
        self.set({"values": {"volume": round(min(1.0, max(0.05, self._stage.board.settings.volume * factor)), 3)}})

    def _load(self) -> None:
        try:
            listener = self._stage.listener()
            # What is heard first takes longer than all that follows: the child's answer shall not be it.
            listener.hear(_murmur())
            self._stage.board.part("recogniser", True, f"Ready ({listener.name}).")
        except SayitError as missing:
            self._stage.board.part("recogniser", False, f"{missing} Until then you judge what you hear.")

    def _try_voice(self) -> None:
        board = self._stage.board
        trouble = PageVoice(lambda: board.settings, self._stage.screen, lambda: True).trouble
        board.part("voice", trouble is None, trouble or "Ready.")
        if not board.state.voices:
            board.change(voices=english_voices())


def _murmur() -> np.ndarray:
    """A second of faint noise."""
    return np.random.default_rng(1).normal(0, 1e-3, RATE).astype(np.float32)
