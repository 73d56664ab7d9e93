"""Paper: a page as PDF, and files that are written whole or not at all."""

import os
import re
import tempfile
import unicodedata
from pathlib import Path
from typing import Any

from sayit.errors import SayitError
from sayit.store import Child

PDF_ADVICE = (
    "on Debian and Ubuntu: apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0; elsewhere see "
    "WeasyPrint's page on installing it. Until then, print the page from a browser."
)


_SCALES = (1.0, 0.92, 0.85, 0.78, 0.7)
_MARGINS = (11, 13, 10, 13)


class NoPdf(SayitError):  # noqa: N818 - it is what it says
    """PDF cannot be made on this machine; the message says what to install."""


def pdf(page: str, sheets: int | None = None) -> bytes:
    """A page as PDF bytes; ``NoPdf`` where the libraries for it are missing.

    With ``sheets`` it is made smaller until it fits on so many sheets of A4, because a
    machine's own letters may be wider than those it was laid out for. Nothing is
    fetched: the page brings all that it needs, and any address in it is refused.
    """
    document, scale = fitted(page, sheets)
    return bytes(document.write_pdf(zoom=scale))


def fitted(page: str, sheets: int | None) -> tuple[Any, float]:
    """The laid-out page and the scale (1.0 at most) at which it is to be written."""
    try:
        import weasyprint
        from weasyprint.urls import URLFetcher
    except (ImportError, OSError) as error:
        raise NoPdf(f"No PDF was made, because a library is missing ({_short(error)}): {PDF_ADVICE}") from error
    source = weasyprint.HTML(string=page, url_fetcher=URLFetcher(allowed_protocols=()))
    for scale in _SCALES:
        styles = [weasyprint.CSS(string=_larger(scale))] if scale < 1 else []
        document = source.render(stylesheets=styles)
        if sheets is None or len(document.pages) <= sheets:
            break
    return document, scale


def _larger(scale: float) -> str:
    # Laid out on a larger sheet and written smaller, so that everything shrinks alike.
    # Author's rules win over a page's own only when they are important.
    sides = " ".join(f"{side / scale:.2f}mm" for side in _MARGINS)
    return f"@page {{ size: {210 / scale:.2f}mm {297 / scale:.2f}mm !important; margin: {sides} !important }}"


def folder(path: Path) -> Path:
    """The folder to write into, made where only the last part of it is missing; ``SayitError`` if it cannot be used."""
    try:
        path.mkdir(exist_ok=True)
    except FileNotFoundError as error:
        raise SayitError(
            f"There is no folder {path.parent}: make it first, or choose another place with --out."
        ) from error
    except FileExistsError as error:
        raise SayitError(f"{path} is a file: name a folder with --out.") from error
    except OSError as error:
        raise SayitError(f"{path} cannot be made ({error.strerror}): choose another folder with --out.") from error
    return path


def write(path: Path, content: bytes) -> Path:
    """Write a file for its owner only, whole or not at all; ``SayitError`` where that is not possible."""
    try:
        handle, name = tempfile.mkstemp(prefix=".sayit-", dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
            Path(name).replace(path)
        except BaseException:
            Path(name).unlink()
            raise
    except OSError as error:
        raise SayitError(f"{path} cannot be written ({error.strerror}): choose another folder with --out.") from error
    return path


def file_name(child: Child | None, what: str, ending: str) -> str:
    """A name such as "pip-report.html": safe on any system, and another one for each child; "report.html" without one."""
    if child is None:
        return f"{what}.{ending}"
    plain = unicodedata.normalize("NFKC", child.name).casefold()
    safe = re.sub(r"[^\w]+", "-", plain).strip("-_")[:40]
    if safe != plain:
        # Two names may look the same once signs and spaces are gone.
        safe = f"{safe or 'child'}-{child.id}"
    return f"{safe}-{what}.{ending}"


def _short(error: BaseException) -> str:
    return " ".join(str(error).split())[:120]
