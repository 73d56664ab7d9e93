"""Writing papers, each as a page and as PDF, and telling where they are."""

import sys
from argparse import Namespace
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sayit.commands.output import print_json, tell
from sayit.errors import visible
from sayit.report.paper import NoPdf, file_name, write

if TYPE_CHECKING:
    from sayit.report import Paper
    from sayit.store import Child

NOT_ALL = 1
"""Exit status where the page was written but no PDF could be made."""


def put(
    args: Namespace,
    place: Path,
    child: "Child | None",
    papers: "Mapping[str, Paper]",
    *,
    entry: dict[str, Any],
    lines: Iterable[str] = (),
    files: Mapping[str, bytes] | None = None,
) -> int:
    """Write ``papers`` by what each is called, as page and as PDF, and other ``files`` by ending into ``place``.

    Tells ``lines`` and where everything is, or ``entry`` with the files as one JSON object.
    """
    written: list[Path] = []
    missing = ""

    def keep(what: str, ending: str, content: bytes) -> None:
        written.append(write(place / file_name(child, what, ending), content))
        if args.json:
            return
        if len(written) == 1:
            # Not before: a refusal says nothing but itself.
            for line in lines:
                tell(line)
        # At once: a page can be opened while its PDF is still being made.
        print(f"Written: {visible(written[-1])}", flush=True)

    for name, content in (files or {}).items():
        what, _, ending = name.rpartition(".")
        keep(what, ending, content)
    for what, paper in papers.items():
        keep(what, "html", paper.page().encode())
        try:
            if not missing:
                keep(what, "pdf", paper.pdf())
        except NoPdf as error:
            missing = str(error)
    if args.json:
        print_json(entry | {"files": [str(path) for path in written], "missing": missing})
    if missing:
        print(f"sayit: {missing}", file=sys.stderr)
        return NOT_ALL
    return 0
