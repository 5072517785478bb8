"""Causes from readings, and the reading to take next. Knows no cause, reading or plugin by name."""

from console.inference.consultation import Consultation, Diagnosis
from console.inference.readings import ReadingError, Taken

__all__ = ["Consultation", "Diagnosis", "ReadingError", "Taken"]
