"""How well a skill is known: knowledge tracing from verdict and response time.

Corbett & Anderson (1995), "Knowledge tracing: modeling the acquisition of
procedural knowledge", User Modeling and User-Adapted Interaction 4, 253-278, keep one
probability that a rule is known and update it after every answer by Bayes' rule
with four numbers: known before, learned at a chance to apply it, guess, slip.

Here the hidden state has three levels instead of two, *not yet*, *knows* and
*fluent*, so that quick, correct and slow-but-right answers say different things;
with the two upper levels taken as one and time left out it is their model again
(a test checks this). Response time enters as a discretised observation, as in
Wang & Heffernan (2012), "Leveraging first response time into the knowledge
tracing model", Educational Data Mining. Days without practice let a belief slip
back, after Qiu, Qi, Lu, Pardos & Heffernan (2011), "Does time matter? Modeling
the effect of time with Bayesian knowledge tracing", Educational Data Mining.

The numbers below are ours and not fitted to children: guess and slip keep to
the bounds that Corbett & Anderson give (0.3 and 0.1; from memory), the rest is
chosen so that about four quick right answers in a row make a skill fluent.
"""

from dataclasses import dataclass

LEVELS = ("missed", "slow", "correct", "fluent")
"""What one answer shows. ``untimed`` besides: right, but nobody measured when it came."""

Belief = tuple[float, float, float]
"""Probabilities of not yet, knows, fluent; they sum to 1."""

START: Belief = (0.7, 0.25, 0.05)
"""Before the first answer at the child's own step and past it."""

BEFORE: Belief = (0.2, 0.55, 0.25)
"""Before the first answer at a step that lies behind the child's own."""

FLUENT_AT = 0.9
KNOWN_AT = 0.95
"""The mastery level of Corbett & Anderson (1995)."""


@dataclass(frozen=True, slots=True)
class Rates:
    """The model's numbers, all probabilities; ``forget`` ones are per day."""

    guess: float = 0.15
    slip: float = 0.1
    slip_fluent: float = 0.04
    learn: float = 0.12
    quicken: float = 0.10
    forget: float = 0.004
    forget_fluent: float = 0.008


# How right answers of each level spread over slow, correct and fluent.
_SPREAD = (
    {"slow": 0.55, "correct": 0.30, "fluent": 0.15},
    {"slow": 0.35, "correct": 0.45, "fluent": 0.20},
    {"slow": 0.05, "correct": 0.20, "fluent": 0.75},
)


def level(verdict: str, seconds: float | None, quick: float) -> str:
    """What an answer shows: one of ``LEVELS``, "untimed", or "unclear" (shows nothing).

    ``seconds`` run from the end of the prompt to the start of the voice, ``quick``
    are those that count as fluent; twice as long is still correct, longer is slow.
    The other form is a miss where a form was asked for.
    """
    if verdict == "unclear":
        return "unclear"
    if verdict != "right":
        return "missed"
    if seconds is None:
        return "untimed"
    return "fluent" if seconds <= quick else "correct" if seconds <= 2 * quick else "slow"


def chances(shown: str, rates: Rates) -> Belief:
    """How likely that observation is in each of the three states."""
    right = (rates.guess, 1 - rates.slip, 1 - rates.slip_fluent)
    if shown == "missed":
        return tuple(1 - chance for chance in right)  # type: ignore[return-value]
    if shown == "untimed":
        return right
    return tuple(chance * spread[shown] for chance, spread in zip(right, _SPREAD, strict=True))  # type: ignore[return-value]


def update(belief: Belief, shown: str, rates: Rates = Rates()) -> Belief:
    """The belief after one answer: Bayes' rule, then the chance to have learned from it."""
    weighed = [share * chance for share, chance in zip(belief, chances(shown, rates), strict=True)]
    total = sum(weighed)
    not_yet, knows, fluent = (share / total for share in weighed)
    learned, quickened = not_yet * rates.learn, knows * rates.quicken
    return (not_yet - learned, knows + learned - quickened, fluent + quickened)


def fade(belief: Belief, days: float, rates: Rates = Rates()) -> Belief:
    """The belief after ``days`` without practice."""
    not_yet, knows, fluent = belief
    slower = fluent * (1 - (1 - rates.forget_fluent) ** max(days, 0.0))
    lost = knows * (1 - (1 - rates.forget) ** max(days, 0.0))
    return (not_yet + lost, knows - lost + slower, fluent - slower)


def right_chance(belief: Belief, rates: Rates = Rates()) -> float:
    """How likely the next answer is right."""
    return sum(share * chance for share, chance in zip(belief, chances("untimed", rates), strict=True))


def status(belief: Belief, seen: int) -> str:
    """In a word: "new", "shaky", "known" (right, but not yet at once) or "fluent"."""
    not_yet, _, fluent = belief
    if seen < 2:
        return "new"
    if fluent >= FLUENT_AT:
        return "fluent"
    return "known" if 1 - not_yet >= KNOWN_AT else "shaky"
