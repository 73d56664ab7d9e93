"""What a parent reads and prints: report, plan, log, export, sheet."""

from sayit.report.figures import Figures, figures
from sayit.report.gather import entries_of, figures_of
from sayit.report.page import Paper, report_paper
from sayit.report.paper import NoPdf
from sayit.report.week import Card, cards

__all__ = ["Card", "Figures", "NoPdf", "Paper", "cards", "entries_of", "figures", "figures_of", "report_paper"]
