"""Offline, spoken place-value practice for young children."""

from sayit.errors import SayitError

__all__ = ["SayitError", "__version__"]
__version__ = "0.1.0"
