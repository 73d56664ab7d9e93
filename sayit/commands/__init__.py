"""The command line: one module a command, each with ``add(subparsers)`` and ``run(args)``."""

from sayit.commands.main import main

__all__ = ["main"]
