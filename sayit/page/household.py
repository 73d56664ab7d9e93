"""The desk's part for the children: who is there, what holds for each, what comes next, and the report."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sayit.errors import SayitError, visible
from sayit.page.backstage import UNKNOWN, Backstage, in_background
from sayit.practice.aims import aim_of
from sayit.practice.plan import plan_week
from sayit.practice.standing import standing
from sayit.report import cards
from sayit.report.words import counted
from sayit.speaking.recordings import forget_name, name_file
from sayit.store import Child, Record
from sayit.store.arrangement import Arrangement, arrange
from sayit.store.checks import check_counts_to
from sayit.store.copies import copies_with
from sayit.store.learning import learner_of
from sayit.store.settings import settings_of

__all__ = ["Children", "arranged", "kept_in_words", "outlook"]

_HOW = {
    "new": "not asked yet",
    "shaky": "not sure yet",
    "known": "known, not at once yet",
    "fluent": "at once",
}


class Children:
    """The commands about children."""

    def __init__(self, stage: Backstage) -> None:
        self._stage = stage
        self.commands = {
            "add-child": self.add,
            "arrange": self.arrange,
            "rename-child": self.rename,
            "delete-child": self.delete,
        }

    def look(self) -> None:
        """See which children there are and what the household set."""
        with self._stage.record() as record:
            names = tuple(child.name for child in record.children())
            settings = settings_of(record)
        self._stage.board.change(children=names, settings=settings)
        self.look_ahead_soon()

    def look_ahead_soon(self) -> None:
        """See in the background what comes next for the child chosen."""
        in_background("look ahead", self.look_ahead)

    def look_ahead(self) -> None:
        """See what comes next for the child chosen."""
        found = holds = None
        try:
            with self._stage.record() as record:
                if child := record.child(self._stage.name) if self._stage.name else None:
                    now = self._stage.here()
                    found, holds = outlook(record, child, now), arranged(record, child, now)
        except SayitError as error:
            self._stage.board.notice("look-ahead", f"What comes next is not known: {error}")
            return
        self._stage.board.change(outlook=found, arrangement=holds)

    def add(self, message: dict[str, Any]) -> None:
        """Add a child, with whom the next sitting is."""
        with self._stage.record() as record:
            counts_to = check_counts_to(message.get("counts_to"))
            child = record.add_child(str(message.get("name", "")), at=self._stage.now())
            if counts_to is not None:
                record.set_counts_to(child, counts_to)
        self.look()
        self._stage.set({"child": child.name})
        self.look_ahead_soon()

    def rename(self, message: dict[str, Any]) -> str:
        """Call a child by another name."""
        self._idle()
        with self._stage.record() as record:
            before = self._child(record, str(message.get("child", "")))
            child = record.rename(before, str(message.get("name", "")))
        # A recording says the name that it was made for.
        if name_file(before.name) != name_file(child.name):
            forget_name(before.name)
        self._stage.set({"child": child.name})
        self.look()
        return f"The name is {child.name} now."

    def delete(self, message: dict[str, Any]) -> str:
        """Delete all of a child, whose name was typed for it."""
        self._idle()
        with self._stage.record() as record:
            child = self._child(record, str(message.get("child", "")))
            if str(message.get("typed", "")).strip().casefold() != child.name.casefold():
                raise SayitError(f"Nothing was deleted: type {child.name} to delete all of {child.name}.")
            left = copies_with(record, child)
            forget_name(child.name)
            answers = record.forget(child)
        self.look()
        told = f"Deleted: {child.name}, {counted(answers, 'answer')} and all recordings. Backups are yours to delete."
        return f"{told} {child.name} is still in {', '.join(map(visible, left))}." if left else told

    def _idle(self) -> None:
        if self._stage.board.running:
            raise SayitError("A sitting goes on: stop it first.")

    def arrange(self, message: dict[str, Any]) -> str:
        """Let hold what the parent arranged for a child."""
        wanted = message.get("values")
        if not isinstance(wanted, dict):
            raise SayitError(UNKNOWN)
        with self._stage.record() as record:
            child = self._child(record, str(message.get("child", "")))
            told = kept_in_words(child, arrange(record, child, wanted, self._stage.here()))
        self.look_ahead_soon()
        return told

    @staticmethod
    def _child(record: Record, name: str) -> Child:
        child = record.child(name) if name else None
        if child is None:
            raise SayitError("Add a child first: a name or nickname.")
        return child


def arranged(record: Record, child: Child, now: datetime) -> dict[str, Any]:
    """What holds for ``child`` as plain values; ``steps`` are those of its path, each with how it stands in words."""
    learner = learner_of(record, child, now=now)
    return {
        "child": child.name,
        "step": learner.step,
        "skipped": [slug for slug in learner.skipped if slug in learner.path.slugs],
        "pace": learner.pace,
        "limit": learner.path.limit,
        "forms": list(child.forms),
        "audio_days": child.keep_audio_days,
        "counts_to": child.counts_to,
        "answers": learner.answers,
        "steps": [
            {"slug": step.slug, "title": step.title, "place": step.place, "how": _HOW[step.status]}
            for step in standing(learner, now)
        ],
    }


def kept_in_words(child: Child, found: Arrangement) -> str:
    """What the parent just arranged, in a sentence."""
    days = found.audio_days
    recorded = f" Recordings are kept for {days} {'day' if days == 1 else 'days'}." if days else ""
    return f"Kept: {child.name} goes on at “{found.path[found.step].title}” from the next sitting on.{recorded}"


def outlook(record: Record, child: Child, now: datetime) -> dict[str, Any]:
    """Today's aim and tomorrow's plan of a child, in plain sentences."""
    learner = learner_of(record, child, now=now)
    aim = aim_of(learner, now.timestamp())
    (tomorrow,) = cards(plan_week(learner, now, days=1))
    return {
        "aim": aim.sentence,
        "why": f"Because {aim.why}.",
        "tomorrow": {
            "aim": tomorrow.aim,
            "why": tomorrow.why,
            "lay_out": tomorrow.lay_out,
            "say": tomorrow.say,
            "minutes": tomorrow.minutes,
        },
    }
