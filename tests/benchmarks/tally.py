"""How a listener's answers fared: right, another number, asked again, judged wrong though right."""

from dataclasses import dataclass, field

from sayit.hearing.doubt import said_after_all
from sayit.hearing.heard import Heard
from sayit.numbers import name, read


class Kept:
    """A listener that keeps the last sound, so that a second opinion can be had of it as in a sitting."""

    def __init__(self, listener, alone=False):
        self.listener, self.alone, self.samples = listener, alone, None

    def __getattr__(self, name):
        return getattr(self.listener, name)

    def hear(self, samples):
        self.samples = samples
        return self.listener.hear(samples)

    def may_be(self, heard, number):
        found = said_after_all(
            heard, number, lambda said: {} if self.alone or self.samples is None else self.weigh(self.samples, said)
        )
        return bool(found.doubt)


@dataclass
class Tally:
    """Counts of answers; one is judged if it is clear, so that a child would be told whether it was right."""

    listener: Kept
    show: bool = False
    total: int = 0
    right: int = 0
    another: int = 0
    """Heard as a number, but not the one said."""
    unclear: int = 0
    mistaken: int = 0
    """Judged, and not right."""
    far: int = 0
    """The same, and not asked again for being near the number asked for either."""
    work: list[float] = field(default_factory=list)
    """Seconds, of each answer."""
    sound: list[float] = field(default_factory=list)

    def of_form(self, heard: Heard, number: int, form: str, voice: str) -> None:
        """An answer that is right in value and form."""
        reading = read(heard.words)
        fits = reading.value == number and reading.form in (form, "both")
        self.count(heard, number, fits, f"{voice}: {name(number, form)!r}")

    def of_value(self, heard: Heard, number: int, said: str) -> None:
        """An answer that is right in value, whatever its form."""
        self.count(heard, number, read(heard.words).value == number, said)

    def count(self, heard: Heard, number: int, fits: bool, said: str) -> None:
        judged = bool(heard.clear and heard.words)
        mistaken = judged and not fits
        self.total += 1
        self.right += fits
        self.another += read(heard.words).value not in (None, number)
        self.unclear += not judged
        self.mistaken += mistaken
        self.far += mistaken and not self.listener.may_be(heard, number)
        self.work.append(heard.work_seconds)
        self.sound.append(heard.audio_seconds)
        if self.show and not fits:
            print(f"    {said} heard {heard.words!r} ({heard.confidence:.2f})")

    def __str__(self) -> str:
        count = max(1, self.total)
        return (
            f"right {self.right / count:.1%}, another number {self.another / count:.1%}, "
            f"asked again {self.unclear / count:.1%}, "
            f"judged wrong though right {self.mistaken / count:.1%} ({self.far / count:.1%}) of {self.total}"
        )
