"""Writing pages and their PDFs, and telling where they are."""

import sys
from argparse import Namespace
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sayit.commands.output import print_json
from sayit.report.paper import NoPdf, file_name, pdf, write

if TYPE_CHECKING:
    from sayit.store import Child

NOT_ALL = 1
"""Exit status where the page was written but no PDF could be made."""


def put(
    args: Namespace,
    place: Path,
    child: "Child | None",
    pages: Mapping[str, str],
    *,
    entry: dict[str, Any],
    lines: Iterable[str] = (),
    files: Mapping[str, bytes] | None = None,
    sheets: int | None = None,
) -> int:
    """Write ``pages`` (what each is called, its HTML) with their PDFs and other ``files`` (by ending) into ``place``.

    ``sheets`` is on how many sheets of paper each page is to fit. Tells ``lines`` and where everything is, or ``entry`` with the files as one JSON object.
    """
    written: list[Path] = []
    missing = ""

    def keep(what: str, ending: str, content: bytes) -> None:
        written.append(write(place / file_name(child, what, ending), content))
        if args.json:
            return
        if len(written) == 1:
            # Not before: a refusal says nothing but itself.
            print(*lines, sep="\n")
        # At once: a page can be opened while its PDF is still being made.
        print(f"Written: {written[-1]}", flush=True)

    for name, content in (files or {}).items():
        what, _, ending = name.rpartition(".")
        keep(what, ending, content)
    for what, page in pages.items():
        keep(what, "html", page.encode())
        try:
            if not missing:
                keep(what, "pdf", pdf(page, sheets))
        except NoPdf as error:
            missing = str(error)
    if args.json:
        print_json(entry | {"files": [str(path) for path in written], "missing": missing})
    if missing:
        print(f"sayit: {missing}", file=sys.stderr)
        return NOT_ALL
    return 0
