"""Offline, spoken place-value practice for young children."""

import os

from sayit.errors import SayitError

__all__ = ["SayitError", "__version__"]
__version__ = "0.1.0"

# NumPy's threads wait for each other where another program works, and read this when NumPy is first imported.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
