"""The answers as JSON, described: `schemas/` is written from these models, and a test compares the two.

``python -m partsbin.schemas DIR`` writes the files.
"""

from __future__ import annotations

import json
from pathlib import Path

from pydantic import BaseModel

from partsbin.schemas.acts import CountedPlace, Marked, Measured, Moved, PlaceListed, Scrapped, UndoneAct
from partsbin.schemas.bench import CalculationAnswer, Instruments, SetAnswer
from partsbin.schemas.buying import (
    BoughtAnswer,
    OffersImported,
    OrderAnswer,
    OrdersListed,
    RulesListed,
    SuppliersListed,
)
from partsbin.schemas.jobs import FittedPart, JobBrief, JobClaim, JobClosed, JobList, JobNeeded, JobPortrait, Returned
from partsbin.schemas.judging import Answer, Readings
from partsbin.schemas.shelf import DonorWorth, Import, Labels, Portrait, SearchAnswer, Shelving
from partsbin.schemas.work import (
    NeedsListed,
    PlanAnswer,
    RecallAnswer,
    ReportAnswer,
    SheetAnswer,
    StripAnswer,
    TraceAnswer,
    VerifyAnswer,
)

MODELS: dict[str, type[BaseModel]] = {
    "answer": Answer,
    "readings": Readings,
    "import": Import,
    "shelving": Shelving,
    "portrait": Portrait,
    "search": SearchAnswer,
    "labels": Labels,
    "set": SetAnswer,
    "calculation": CalculationAnswer,
    "measured": Measured,
    "marked": Marked,
    "moved": Moved,
    "place": PlaceListed,
    "counted": CountedPlace,
    "scrapped": Scrapped,
    "undone": UndoneAct,
    "fitted": FittedPart,
    "returned": Returned,
    "job": JobPortrait,
    "job-brief": JobBrief,
    "jobs": JobList,
    "job-closed": JobClosed,
    "job-claim": JobClaim,
    "job-need": JobNeeded,
    "instruments": Instruments,
    "plan": PlanAnswer,
    "needs": NeedsListed,
    "worth": DonorWorth,
    "rules": RulesListed,
    "order": OrderAnswer,
    "orders": OrdersListed,
    "bought": BoughtAnswer,
    "suppliers": SuppliersListed,
    "offers": OffersImported,
    "sheet": SheetAnswer,
    "report": ReportAnswer,
    "trace": TraceAnswer,
    "recall": RecallAnswer,
    "strip": StripAnswer,
    "verify": VerifyAnswer,
}


def documents() -> dict[str, str]:
    """Return the text of every schema file by name."""
    made = {}
    for name, model in MODELS.items():
        schema = model.model_json_schema(mode="serialization", by_alias=True)
        schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", "$id": f"partsbin/{name}.json", **schema}
        made[f"{name}.json"] = json.dumps(schema, indent=2, ensure_ascii=False, sort_keys=True) + "\n"
    return made


def write(folder: Path) -> None:
    """Write the schema files into a folder."""
    for name, text in documents().items():
        (folder / name).write_text(text, encoding="utf-8")
