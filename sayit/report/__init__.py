"""What a parent reads and prints: report, plan, log, export, sheet."""

from sayit.report.figures import Figures, figures
from sayit.report.gather import figures_of
from sayit.report.page import report_page
from sayit.report.paper import NoPdf, pdf
from sayit.report.week import Card, cards

__all__ = ["Card", "Figures", "NoPdf", "cards", "figures", "figures_of", "pdf", "report_page"]
