"""Names that tell each place by its word in another way than a name does: ones first, empty places, or piece by piece."""

from sayit.numbers.tokens import AND, BREAK, HUNDRED, ONES, TEN, THOUSAND, UNIT, ZERO, Tokens

__all__ = ["place_by_place", "said_in_pieces"]

_SIZES = {ONES: 1, TEN: 10, HUNDRED: 100, THOUSAND: 1000}
_NAMES = {1: "one", 10: "ten", 100: "hundred", 1000: "thousand"}


def place_by_place(tokens: Tokens) -> tuple[int, tuple[tuple[str, int], ...], tuple[str, ...]] | None:
    """Value, places and reasons of "five ones and four tens", "four hundred, no tens, five" or "zero ten five".

    None where the words are anything else, a name that tells its places in their order among them.
    """
    kept = [at for at, kind in enumerate(tokens.kinds) if kind not in (AND, BREAK)]
    counts: dict[int, int] = {}
    empty, at = False, 0
    while at < len(kept):
        kind, word = tokens.kinds[kept[at]], tokens.words[kept[at]]
        size = _SIZES.get(tokens.kinds[kept[at + 1]]) if at + 1 < len(kept) else None
        none = word == "<no>" or kind == ZERO
        if not (kind == UNIT or none) or (size is None and (at + 1 < len(kept) or kind != UNIT)):
            return None
        size, at = size or 1, at + 2
        if size in counts:
            return None
        counts[size] = 0 if none else tokens.values[kept[at - 2]]
        empty = empty or none
    falling = list(counts) == sorted(counts, reverse=True)
    if len(counts) < 2 or not any(counts.values()) or not (empty or ONES in tokens.kinds):
        return None
    if 1000 in counts and not falling:
        # "one-ten two thousand" is a name.
        return None
    value = sum(size * count for size, count in counts.items())
    places = tuple((_NAMES[size], counts[size]) for size in sorted(counts, reverse=True) if counts[size])
    return value, places, (("zero-named",) if empty else ()) + (() if falling else ("ones-first",))


def said_in_pieces(tokens: Tokens) -> str | None:
    """The words of an answer of three single words or more with a full stop after each: "four. ten. five."."""
    words, kinds = tokens.words, tokens.kinds
    last = len(kinds) - (1 if kinds and kinds[-1] == BREAK else 0)
    apart = all((kind == BREAK) == (at % 2 == 1) for at, kind in enumerate(kinds[:last]))
    return " ".join(words[:last:2]) if last >= 5 and last % 2 == 1 and apart else None
