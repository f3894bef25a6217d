"""Plots drawn on the server, narrow enough for a phone: each with its words and its table, coloured by the style sheet alone."""

from __future__ import annotations

from partsbin.page.plots.drawing import Plot
from partsbin.page.plots.measured import drift, track_law
from partsbin.page.plots.stock import donor_yield
from partsbin.page.plots.stress import candidates, rail

__all__ = ["Plot", "candidates", "donor_yield", "drift", "rail", "track_law"]
