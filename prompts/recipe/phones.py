"""Text to the symbols that Kokoro-82M reads, by the dictionaries of the wheel ``misaki`` (Apache-2.0)."""

from __future__ import annotations

import importlib.resources
import json
import re

# As a teacher says them: no flap, so that thirty and thirteen are told apart by more than their stress, and
# sixty ends in a vowel that is heard (not "six").
CLEAR = {
    "us": {"thirty": "θˈɜɹti", "forty": "fˈɔɹti", "eighty": "ˈAti", "ninety": "nˈInti"},
    "gb": {"sixty": "sˈɪkstiː"},
}
# The dictionary's usual reading is another word here, or is none.
AS_HERE = {
    "us": {"read": "ɹˈid", "listening": "lˈɪsənɪŋ", "playing": "plˈAɪŋ", "ones": "wˈʌnz", "bye-bye": "bˈI bˌI"}
    | {"a": "ɐ", "to": "tʊ", "the": "ðə", "that's": "ðˈæts"},
    "gb": {"read": "ɹˈiːd", "listening": "lˈɪsᵊnɪŋ", "playing": "plˈAɪŋ", "ones": "wˈʌnz", "bye-bye": "bˈI bˌI"}
    | {"a": "ɐ", "to": "tʊ", "the": "ðə", "that's": "ðˈats"},
}


class Phones:
    """Symbols of British ("gb") or American ("us") English."""

    def __init__(self, accent: str) -> None:
        data = importlib.resources.files("misaki").joinpath("data")
        self._words = {
            **json.loads(data.joinpath(f"{accent}_silver.json").read_bytes()),
            **json.loads(data.joinpath(f"{accent}_gold.json").read_bytes()),
            **AS_HERE[accent],
            **CLEAR[accent],
        }

    def __call__(self, text: str) -> str:
        """Symbols of a text; KeyError for a word that no dictionary has."""
        pieces = re.findall(r"[A-Za-z'-]+|[.,!?:;]", text)
        found = []
        for piece in pieces:
            if piece in ".,!?:;":
                found[-1:] = [found[-1] + piece] if found else []
            else:
                found.append(self._word(piece))
        return " ".join(found)

    def _word(self, word: str) -> str:
        for tried in (word, word.lower(), word.capitalize()):
            if tried in self._words:
                held = self._words[tried]
                return held["DEFAULT"] if isinstance(held, dict) else held
        if "-" in word:
            return " ".join(self._word(part) for part in word.split("-"))
        for ending in ("'s", "s", "ed"):
            stem = word.lower().removesuffix(ending)
            if stem != word.lower() and (stem in self._words):
                return self._word(stem) + self._ending(self._word(stem), ending)
        raise KeyError(word)

    @staticmethod
    def _ending(stem: str, ending: str) -> str:
        last = stem[-1]
        if ending == "ed":
            return "t" if last in "pkfsʃʧθ" else "d"
        if last in "szʃʒʧʤ":
            return "ᵻz"
        return "s" if last in "ptkfθ" else "z"
