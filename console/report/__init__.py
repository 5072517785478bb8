"""One page to keep, print or send: the boat's answers with everything they rest on.

The page is one HTML file. It asks the network for nothing, runs no script, is dark on a dark
screen and light on paper.
"""

from console.report.page import report_html
from console.report.writing import ReportError, write_report

__all__ = ["ReportError", "report_html", "write_report"]
