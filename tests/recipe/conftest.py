"""Modules of the recipes, which are no package: each runs in its own folder."""

import importlib
from pathlib import Path

import pytest

HERE = Path(__file__).parents[2]


@pytest.fixture(scope="session")
def recipe():
    """``recipe("models", "rivals")`` gives a module of a folder's recipe."""

    def load(folder, module):
        with pytest.MonkeyPatch.context() as patch:
            patch.syspath_prepend(str(HERE / folder / "recipe"))
            return importlib.import_module(module)

    return load
