"""Words that several pages say."""

from __future__ import annotations

VERDICTS = {"fits": "fits", "care": "fits with care", "measure": "measure it first", "unfit": "does not fit"}
