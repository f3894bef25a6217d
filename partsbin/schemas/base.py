"""What every schema shares: figures, verdicts, objects without further fields."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict

Figure = float | str | bool | dict[Literal["lo", "hi"], float] | None
VerdictWord = Literal["fits", "care", "measure", "unfit"]


class Strict(BaseModel):
    """An object with just the fields that it names."""

    model_config = ConfigDict(extra="forbid")
