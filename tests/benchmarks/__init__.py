"""Measured, never asserted."""

import sayit  # noqa: F401  # before NumPy: with more than one thread its products take many times as long on a busy machine
