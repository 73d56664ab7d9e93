"""The one kind of error a user is meant to read."""


class SayitError(Exception):
    """Something the user can put right; the message is one line and says how.

    The command line prints the message and leaves with exit status 2.
    """


def visible(text: object) -> str:
    """A text as it may stand on a terminal: what would paint there (an escape sequence in a file's name) is written out."""
    return "".join(sign if sign.isprintable() else sign.encode("unicode_escape").decode() for sign in str(text))
