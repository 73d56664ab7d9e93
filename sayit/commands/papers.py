"""Writing pages and their PDFs, and telling where they are."""

import sys
from argparse import Namespace
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from sayit.commands.output import print_json
from sayit.report.paper import NoPdf, file_name, pdf, write

NOT_ALL = 1
"""Exit status where the page was written but no PDF could be made."""


def put(
    args: Namespace,
    place: Path,
    child,
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
    written, missing = [], ""
    for name, content in (files or {}).items():
        what, _, ending = name.rpartition(".")
        written.append(write(place / file_name(child, what, ending), content))
    for what, page in pages.items():
        written.append(write(place / file_name(child, what, "html"), page.encode()))
        if missing:
            continue
        try:
            written.append(write(place / file_name(child, what, "pdf"), pdf(page, sheets)))
        except NoPdf as error:
            missing = str(error)
    if args.json:
        print_json(entry | {"files": [str(path) for path in written], "missing": missing})
    else:
        for line in (*lines, *(f"Written: {path}" for path in written)):
            print(line)
    if missing:
        print(f"sayit: {missing}", file=sys.stderr)
        return NOT_ALL
    return 0
