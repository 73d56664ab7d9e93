"""Why answers missed, as short titles for a parent."""

_TITLES = {
    "teen-ty-swap": "Teens and tens mixed up",
    "teen-for-ten": "Teens and tens mixed up",
    "off-by-one": "One too many or too few",
    "off-by-ten": "Ten too many or too few",
    "other-digit": "One digit is another",
    "other-number": "Another number",
    "digits-swapped": "Digits changed places",
    "lost-zero": "A zero got lost",
    "wrong-place-word": "Right digits, other places",
    "glued-parts": "Parts strung together",
    "dropped-part": "A part left out",
    "added-part": "A part too much",
    "malformed": "A place word too many",
    "uncommon-name": "Hundreds counted past nine",
    "digit-by-digit": "Told digit by digit",
    "counted": "Counted, not seen",
    "other-form": "Said by another name",
    "mixed-form": "Everyday and tens name mixed",
    "made-up-word": "A word made up by rule",
    "two-numbers": "Two numbers at once",
    "taken-back": "Taken back",
    "other-words": "Other talk",
    "not-a-number": "No number heard",
}


def title(reason: str) -> str:
    """A reason slug in a few words; an unknown one as it is written."""
    return _TITLES.get(reason, reason.replace("-", " ").capitalize())
