"""What is asked, how it is judged, and what follows; pure: clock and randomness come in as arguments."""

from sayit.practice.activities import judge_answer
from sayit.practice.asking import Asking, ask, draw
from sayit.practice.question import Answer, Named, Question, Said, said

__all__ = ["Answer", "Asking", "Named", "Question", "Said", "ask", "draw", "judge_answer", "said"]
