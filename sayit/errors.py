"""The one kind of error a user is meant to read."""


class SayitError(Exception):
    """Something the user can put right; the message is one line and says how.

    The command line prints the message and leaves with exit status 2.
    """
