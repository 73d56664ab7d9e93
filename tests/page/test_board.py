"""What both pages are sent, without a browser."""

from __future__ import annotations

import pytest

from sayit.page.board import Board
from sayit.practice.free import ask
from sayit.store.settings import Settings


@pytest.mark.parametrize(("use_and", "wanted"), [(True, "three hundred and two"), (False, "three hundred two")])
def test_the_desk_writes_numbers_as_the_household_says_them(use_and, wanted):
    board = Board(Settings(use_and=use_and), lambda: None)
    board.change(phase="running", question=ask(302, "plain"))
    assert wanted in board.for_desk()["wanted"]
