"""Paper: a page as PDF, and files that are written whole or not at all."""

import os
import re
import tempfile
import unicodedata
from pathlib import Path

from sayit.errors import SayitError
from sayit.store import Child

PDF_ADVICE = (
    "on Debian and Ubuntu: apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0; elsewhere see "
    "WeasyPrint's page on installing it. Until then, print the page from a browser."
)


class NoPdf(SayitError):
    """PDF cannot be made on this machine; the message says what to install."""


def pdf(page: str) -> bytes:
    """A page as PDF bytes; ``NoPdf`` where the libraries for it are missing.

    Nothing is fetched: the page brings all that it needs, and any address in it is refused.
    """
    try:
        import weasyprint
    except (ImportError, OSError) as error:
        raise NoPdf(f"No PDF was made, because a library is missing ({_short(error)}): {PDF_ADVICE}") from error
    return weasyprint.HTML(string=page, url_fetcher=_refuse).write_pdf()


def folder(path: Path) -> Path:
    """The folder to write into, made where only the last part of it is missing; ``SayitError`` if it cannot be used."""
    try:
        path.mkdir(exist_ok=True)
    except FileNotFoundError as error:
        raise SayitError(f"There is no folder {path.parent}: make it first, or choose another place with --out.") from error
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
            os.replace(name, path)
        except BaseException:
            os.unlink(name)
            raise
    except OSError as error:
        raise SayitError(f"{path} cannot be written ({error.strerror}): choose another folder with --out.") from error
    return path


def file_name(child: Child | None, what: str, ending: str) -> str:
    """ "pip-report.html": safe on any system, and another one for each child; "report.html" without one."""
    if child is None:
        return f"{what}.{ending}"
    plain = unicodedata.normalize("NFKC", child.name).casefold()
    safe = re.sub(r"[^\w]+", "-", plain).strip("-_")[:40]
    if safe != plain:
        # Two names may look the same once signs and spaces are gone.
        safe = f"{safe or 'child'}-{child.id}"
    return f"{safe}-{what}.{ending}"


def _refuse(address: str, *_: object, **__: object) -> dict:
    raise ValueError(f"{address} is not fetched: pages are self-contained")


def _short(error: BaseException) -> str:
    return " ".join(str(error).split())[:120]
