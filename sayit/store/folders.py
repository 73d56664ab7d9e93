"""What lies beside the record: a folder of recordings for each child, and what a restore that was killed left."""

import shutil
from pathlib import Path

from sayit.store.entries import Child


def recordings_folder(record: Path, child: Child | None = None) -> Path:
    """The folder of all recordings of the record at that path, or of one child's."""
    place = record.parent / f"{record.stem}-recordings"
    return place / str(child.id) if child else place


def delete_recordings(record: Path, child: Child) -> None:
    """Delete all recordings of a child."""
    if (place := recordings_folder(record, child)).is_dir():
        shutil.rmtree(place)


def delete_parts(record: Path) -> None:
    """Delete what a restore that was killed may have left beside the record: it holds names."""
    for part in record.parent.glob(f".{record.name}.part*"):
        part.unlink(missing_ok=True)
