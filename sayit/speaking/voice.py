"""Saying things: the parent's recordings where there are any, else the machine's voice."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from sayit.errors import SayitError
from sayit.sound.audio import save
from sayit.sound.level import SILENCE, active_dbfs
from sayit.speaking.pack import After, Pack, open_pack
from sayit.speaking.playback import NoLoudspeaker, loudspeaker, play
from sayit.speaking.recordings import Recordings, open_recordings
from sayit.speaking.synthesis import NoVoice, SentenceLost, Synthesiser, open_synthesiser
from sayit.speaking.utterance import Group, Part, Piece, Utterance, cut_at_name, groups, text

__all__ = ["SPOKEN_RATE", "Spoken", "SpokenVoice", "Voice", "VoiceSettings", "open_voice"]

SPOKEN_RATE = 24_000
"""Samples a second of all speech that goes out: what the voices that come with sayit have."""

_LOUDEST = -20.0
_PEAK = 10 ** (-1.5 / 20)
_WORD_GAP = 0.06
_PAUSES = {"stop": 0.45, "breath": 0.25, "": _WORD_GAP}
_TRIM_BELOW_PEAK = 45.0
_TRIM_KEEP = 0.02
_FADE = 0.005
_GIVEN_UP = 3
_USUAL_RATE = 130
_SLOWEST, _FASTEST = 0.8, 1.2


@dataclass(frozen=True, slots=True)
class VoiceSettings:
    """How the tool speaks.

    ``rate`` is in words a minute as the system's voice counts them (80 to 220; one
    of one syllable takes about half as long); ``volume`` is 0.05 to 1, where 1
    is an active level of -20 dBFS and each halving 6 dB less; ``joint`` is the
    silence in seconds (0.1 to 1.5) between the parts of a number in the tens
    way; ``voice`` names one that comes with sayit or one of the system's, "System"
    is the system's own choice.  Raises SayitError for a value outside.
    """

    rate: int = 130
    volume: float = 0.6
    joint: float = 0.25
    voice: str | None = None

    @property
    def speed(self) -> float:
        """How fast a voice that comes with sayit speaks, 0.8 to 1.2 of its own speed."""
        return min(_FASTEST, max(_SLOWEST, self.rate / _USUAL_RATE))

    def __post_init__(self) -> None:
        for name, value, low, high, unit in (
            ("rate", self.rate, 80, 220, "words a minute"),
            ("volume", self.volume, 0.05, 1.0, ""),
            ("joint", self.joint, 0.1, 1.5, "seconds"),
        ):
            if not low <= value <= high:
                raise SayitError(f"The voice's {name} must be {low} to {high} {unit}".rstrip() + f", not {value}.")


@dataclass(frozen=True, slots=True)
class Spoken:
    """Mono ``float32`` samples at ``SPOKEN_RATE``, and when each part of the numbers among them is heard, in order."""

    samples: np.ndarray
    parts: tuple[Part, ...] = ()

    @property
    def seconds(self) -> float:
        return len(self.samples) / SPOKEN_RATE


Begun = Callable[[tuple[Part, ...]], object]
"""Told the parts as the sound begins; the times count from then."""


class Voice(Protocol):
    """What says utterances to the child; false while it cannot be heard.

    ``trouble`` is then one line for the parent, else None.
    """

    @property
    def trouble(self) -> str | None:
        """Why it cannot be heard."""
        ...

    @property
    def natural(self) -> bool:
        """Whether it comes with sayit, so that a child's name, which only the machine can say, jars."""
        ...

    def __bool__(self) -> bool: ...

    def say(self, utterance: Utterance, *, stop: Callable[[], bool] | None = None, begun: Begun | None = None) -> bool:
        """Say it and return when the sound has ended: true if it was heard to the end.

        ``begun`` is told when each part of the numbers in it will be heard.
        """
        ...


class SpokenVoice:
    """Says utterances.  ``trouble`` is one line for the parent when it cannot be heard, else None.

    A voice that cannot speak is false, and practice goes on with the text.  A
    sentence that failed is trouble until one succeeds, but the voice is false
    only after three in a row.
    """

    def __init__(
        self,
        settings: VoiceSettings,
        recordings: Recordings,
        synthesiser: Synthesiser | None,
        trouble: str | None = None,
        device: int | str | None = None,
        pack: Pack | None = None,
    ) -> None:
        self.settings = settings
        self.trouble: str | None = trouble
        self.name = pack.name if pack else synthesiser.name if synthesiser else None
        self._recordings = recordings
        self._pack = pack
        self._synthesiser = synthesiser
        self._device = device
        self._lost = 0

    def __bool__(self) -> bool:
        return self.trouble is None or 0 < self._lost < _GIVEN_UP

    @property
    def natural(self) -> bool:
        """Whether a voice that comes with sayit speaks."""
        return self._pack is not None

    def render(self, utterance: Utterance | str) -> Spoken:
        """The utterance as samples, with the times of the parts of its numbers.

        Pauses between parts follow the punctuation; the parts of a tens name
        are ``settings.joint`` apart, and half as much again after "thousand".
        The level is that of ``settings.volume`` whatever the recordings' own.
        Raises NoVoice when a part is not recorded and the machine has no voice
        (SentenceLost where other words can be said), SayitError for a recording that cannot be read.
        """
        if isinstance(utterance, str):
            utterance = text(utterance)
        spoken: list[_Sound] = []
        for piece in utterance.pieces:
            spoken += self._number(piece) if piece.kind == "number" else self._named(piece)
        return _joined(_levelled(spoken, _LOUDEST + 20 * np.log10(self.settings.volume)))

    def say(
        self, utterance: Utterance | str, *, stop: Callable[[], bool] | None = None, begun: Begun | None = None
    ) -> bool:
        """Say it aloud and return when the sound has ended: true if it was heard to the end.

        False when it cannot be heard (``trouble`` then tells why) or ``stop``
        became true.  Never raises for want of a voice or a loudspeaker.
        """
        try:
            spoken = self.render(utterance)
            if begun:
                begun(spoken.parts)
            heard = play(spoken.samples, SPOKEN_RATE, device=self._device, stop=stop)
        except SentenceLost as error:
            if self:
                self.trouble = str(error)
                self._lost += 1
            return False
        except (NoVoice, NoLoudspeaker) as error:
            self.trouble = str(error) if self else self.trouble
            self._lost = 0
            return False
        if self._lost:
            self.trouble, self._lost = None, 0
        return heard

    def save(self, utterance: Utterance | str, path: str | os.PathLike[str]) -> float:
        """Write what :meth:`say` would play to a WAV, FLAC or OGG file; seconds of sound written.

        Raises NoVoice where the machine has no voice and SayitError where the
        file cannot be written.
        """
        spoken = self.render(utterance)
        save(spoken.samples, path, SPOKEN_RATE)
        return spoken.seconds

    def _named(self, piece: Piece) -> list[_Sound]:
        """Text, with the child's name in it as it was recorded, if it was."""
        own = self._recordings.name(piece.name) if piece.name else None
        if own is None:
            return [self._text(piece)]
        return [
            _Sound(_trimmed(own), _PAUSES[part.ends], recorded=True) if part.name else self._text(part)
            for part in cut_at_name(piece)
        ]

    def _text(self, piece: Piece) -> _Sound:
        recorded = self._recordings.phrase(piece.slot)
        pause = _PAUSES[piece.ends]
        if recorded is not None:
            return _Sound(_trimmed(recorded), pause, recorded=True)
        if self._pack and piece.words in self._pack:
            return self._packed(self._pack, piece.words, pause)
        return _Sound(self._synthesised(piece.words), pause)

    def _number(self, piece: Piece) -> list[_Sound]:
        found = groups(piece.words)
        recorded = [words for group in found if (words := self._recordings.words(group.words))]
        sounds: list[_Sound] = []
        if len(recorded) == len(found):
            for group, words in zip(found, recorded, strict=True):
                own = [_Sound(_trimmed(sound), _WORD_GAP, recorded=True) for word in words for sound in word]
                own[0].begins, own[-1].pause = group.words, self._pause(group, piece)
                own[-1].ends = True
                sounds += own
            return sounds
        if self._pack and (clips := self._pack.number(piece.words, falls=piece.ends == "stop")):
            for name, after in clips:
                sounds.append(self._packed(self._pack, name, self._gap(after)))
                sounds[-1].begins, sounds[-1].ends = name[:-1], True
            sounds[-1].pause = self._pause(found[-1], piece)
            return sounds
        for group in found:
            mark = "," if group.pause else (piece.mark or ",")
            made = self._synthesised(group.words + mark)
            sounds.append(_Sound(made, self._pause(group, piece), begins=group.words, ends=True))
        return sounds

    def _pause(self, group: Group, piece: Piece) -> float:
        if group.pause == "joint":
            return self.settings.joint
        if group.pause == "thousand":
            return self.settings.joint * 1.5
        return {"stop": 0.45, "breath": 0.25, "": 0.1}[piece.ends]

    def _gap(self, after: After) -> float:
        """Seconds between two clips of a number."""
        return {"joint": self.settings.joint, "thousand": self.settings.joint * 1.5, "digit": 0.2, "": 0.0}[after]

    def _packed(self, pack: Pack, name: str, pause: float) -> _Sound:
        return _Sound(pack.clip(name), pause, level=pack.level)

    def _synthesised(self, words: str) -> np.ndarray:
        if self._synthesiser is None and self._pack:
            raise SentenceLost(f"The voice {self.name!r} lacks “{words}”: read it to the child, or record it yourself.")
        if self._synthesiser is None:
            raise NoVoice(self.trouble or "No voice on this machine.")
        return _trimmed(self._synthesiser.render(words))


@dataclass(slots=True)
class _Sound:
    """A stretch of sound and the silence (seconds) after it; ``begins`` and ``ends`` a part of a number, or lies within.

    ``level`` is that of the voice that it is from (dBFS while it speaks), where that is known.
    """

    samples: np.ndarray
    pause: float
    recorded: bool = False
    level: float | None = None
    begins: str = ""
    ends: bool = False


def open_voice(
    settings: VoiceSettings | None = None,
    *,
    recordings: Recordings | None = None,
    device: int | str | None = None,
    aloud: bool = True,
) -> SpokenVoice:
    """The parent's recordings, a voice that comes with sayit, and this machine's own, in this order.

    Never fails for want of a voice or a loudspeaker: the voice is then false,
    and its ``trouble`` is one line to show.  ``aloud`` false leaves the
    loudspeaker out, for saving to files only.
    """
    settings = settings or VoiceSettings()
    recordings = recordings if recordings is not None else open_recordings(SPOKEN_RATE)
    trouble = None
    pack = open_pack(settings.voice, SPOKEN_RATE, settings.speed)
    try:
        synthesiser = open_synthesiser(SPOKEN_RATE, settings.rate, None if pack else settings.voice)
    except NoVoice as error:
        # Only names and reworded phrases miss it where a pack speaks.
        synthesiser, trouble = None, None if pack else str(error)
    if aloud and trouble is None:
        try:
            loudspeaker(device)
        except NoLoudspeaker as error:
            trouble = str(error)
    return SpokenVoice(settings, recordings, synthesiser, trouble, device, pack)


def _trimmed(samples: np.ndarray) -> np.ndarray:
    """Without the silence at either end, faded in and out over 5 ms so that no joint clicks."""
    loud = np.flatnonzero(np.abs(samples) >= np.abs(samples).max(initial=0.0) * 10 ** (-_TRIM_BELOW_PEAK / 20))
    if not loud.size:
        return samples
    keep = int(_TRIM_KEEP * SPOKEN_RATE)
    cut = samples[max(0, loud[0] - keep) : loud[-1] + keep].copy()
    ramp = min(int(_FADE * SPOKEN_RATE), len(cut) // 2)
    fade = np.linspace(0.0, 1.0, ramp, dtype=np.float32)
    cut[:ramp] *= fade
    cut[len(cut) - ramp :] *= fade[::-1]
    return cut


def _levelled(sounds: list[_Sound], target: float) -> list[_Sound]:
    """Bring all to ``target`` dBFS: each recording by itself, every other voice as a whole."""
    own = [sound.samples for sound in sounds if not sound.recorded and sound.level is None]
    shared = active_dbfs(np.concatenate(own), SPOKEN_RATE) if own else SILENCE
    for sound in sounds:
        level = active_dbfs(sound.samples, SPOKEN_RATE) if sound.recorded else (sound.level or shared)
        if level > SILENCE:
            sound.samples = sound.samples * np.float32(10 ** ((target - level) / 20))
    return sounds


def _joined(sounds: list[_Sound]) -> Spoken:
    pieces: list[np.ndarray] = []
    parts: list[Part] = []
    words, start, at = "", 0, 0
    for sound in sounds:
        silence = np.zeros(int(sound.pause * SPOKEN_RATE), dtype=np.float32)
        pieces += [sound.samples, silence]
        if sound.begins:
            words, start = sound.begins, at
        if sound.ends:
            parts.append(Part(words, start / SPOKEN_RATE, (at + len(sound.samples)) / SPOKEN_RATE))
        at += len(sound.samples) + len(silence)
    whole = np.concatenate(pieces[:-1]) if pieces else np.zeros(0, dtype=np.float32)
    peak = float(np.abs(whole).max(initial=0.0))
    return Spoken(whole * np.float32(_PEAK / peak) if peak > _PEAK else whole, tuple(parts))
