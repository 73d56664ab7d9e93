"""The child's screen and the parent's desk: a page on this machine only.

``serve`` opens it. It is fetched on first use, because the server and numpy
need a moment that other commands must not wait for.
"""

from typing import Any

__all__ = ["serve"]


def __getattr__(name: str) -> Any:
    if name != "serve":
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from sayit.page.server import serve

    return serve
