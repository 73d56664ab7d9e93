"""Paper: PDF out of a template, and files that are written whole or not at all."""

import json
import os
import re
import tempfile
import unicodedata
from pathlib import Path
from typing import Any

from sayit.errors import SayitError
from sayit.store import Child

_SCALES = (1.0, 0.95, 0.9, 0.85)
"""Letters of 9.5 points stay above 8 points at the smallest."""
_HERE = Path(__file__).parent


class NoPdf(SayitError):  # noqa: N818 - it is what it says
    """PDF cannot be made on this machine; the message says what to do."""


def pdf(name: str, values: dict[str, Any], sheets: int | None = None) -> bytes:
    """The template ``name`` filled with plain ``values``, as PDF; ``NoPdf`` where the library for it does not run.

    With ``sheets`` it is made smaller until it fits on so many sheets of A4. The letters come with the
    program, so that a paper looks alike on every machine; nothing is fetched.
    """
    for scale in _SCALES:
        compiler = filled(name, values, scale)
        if sheets is None or pages(compiler) <= sheets:
            break
    return bytes(compiler.compile(format="pdf"))


def filled(name: str, values: dict[str, Any], scale: float = 1.0) -> Any:
    """Typst's compiler, told the template, its values and the scale of its letters."""
    try:
        import typst
    except (ImportError, OSError) as error:
        raise NoPdf(f"No PDF was made ({_short(error)}): print the page from a browser.") from error
    return typst.Compiler(
        str(_HERE / "templates" / f"{name}.typ"),
        root=str(_HERE / "templates"),
        font_paths=typst.Fonts(include_system_fonts=False, font_paths=[str(_HERE / "fonts")]),
        sys_inputs={"values": json.dumps(values), "scale": str(scale)},
    )


def pages(compiler: Any) -> int:
    """How many sheets a paper takes."""
    return int(compiler.query("<pages>", field="value", one=True))


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
