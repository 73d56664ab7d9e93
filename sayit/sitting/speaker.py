"""Saying phrases of the bank aloud, or showing them where there is no voice."""

from collections.abc import Callable, Sequence
from random import Random

from sayit.practice.question import Said
from sayit.sitting.events import Event, Notice, Sounding, Speaking
from sayit.speaking.phrases import BY_NAME, Bank
from sayit.speaking.utterance import Part, Utterance
from sayit.speaking.voice import Voice


class Speaker:
    """Says what the practice wants said; a voice that fails is told once and then left out."""

    def __init__(
        self,
        bank: Bank,
        voice: Voice,
        *,
        random: Random,
        report: Callable[[Event], None],
        child: str = "",
        use_and: bool = False,
    ) -> None:
        self._bank = bank
        self._voice = voice
        self._random = random
        self._report = report
        self._child = child
        self._use_and = use_and

    @property
    def aloud(self) -> bool:
        """Whether the child hears what is said; else somebody must read it to them."""
        return bool(self._voice)

    def say(self, phrases: Sequence[Said]) -> str:
        """Say or show ``phrases`` and return their words when they are over."""
        utterances = [self._utterance(phrase) for phrase in phrases]
        for utterance in utterances:
            aloud = self.aloud
            self._report(Speaking(utterance.text, aloud, utterance.masked))
            if aloud and not self._voice.say(utterance, begun=self._begun) and self._voice.trouble:
                self._report(Notice("voice-lost", self._voice.trouble))
        return " ".join(utterance.text for utterance in utterances)

    def _begun(self, parts: tuple[Part, ...]) -> None:
        if parts:
            self._report(Sounding(parts))

    def _utterance(self, phrase: Said) -> Utterance:
        numbers = {blank: named.said(use_and=self._use_and) for blank, named in phrase.values}
        # Only the machine can say a name, which jars beside a natural voice: then only where it must be heard.
        child = self._child if phrase.key in BY_NAME or not self._voice.natural else ""
        return self._bank.choose(phrase.key, self._random, child=child, **numbers)
