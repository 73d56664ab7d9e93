"""What is asked, how it is judged, and what follows; pure: clock and randomness come in as arguments.

The names below are fetched on first use, because much of the tool needs few of them.
"""

from importlib import import_module
from typing import Any

_HOME = {
    "Aim": "aims",
    "Answer": "question",
    "Asking": "asking",
    "Closing": "aims",
    "Learner": "learner",
    "Named": "question",
    "Outcome": "replies",
    "PHRASES": "phrases",
    "Past": "learner",
    "Path": "path",
    "Placement": "placement",
    "Plan": "plan",
    "Question": "question",
    "Said": "question",
    "Session": "session",
    "Sitting": "turns",
    "Step": "path",
    "ask": "asking",
    "draw": "asking",
    "fold": "learner",
    "judge_answer": "activities",
    "load_path": "path",
    "plan_week": "plan",
    "question_from_key": "activities",
    "rebuild": "learner",
    "said": "question",
    "start_placement": "placement",
    "start_session": "session",
    "start_sitting": "turns",
}

__all__ = sorted(_HOME)


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOME[name]}"), name)
