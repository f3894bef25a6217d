"""Words that several pages say."""

from __future__ import annotations

VERDICTS = {"fits": "fits", "care": "fits with care", "measure": "measure it first", "unfit": "does not fit"}

MOST_JOBS = 20
"""Open jobs that a choice offers, the newest [-]."""
