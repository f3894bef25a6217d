"""README.md and DEVELOPERS.md say what is so: their commands are run, their lists compared with the code."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from partsbin.cli.main import app
from partsbin.families import load, names
from partsbin.labels.layout import GRIDS
from partsbin.sets import FACTS
from partsbin.stock.columns import PART_COLUMNS
from partsbin.stock.readings import read_measurement
from tests.docs import (
    CHECKS,
    FIELDS,
    POSITIONS,
    ROOT,
    Shell,
    agrees,
    check_rows,
    column_rows,
    console,
    document,
    marked,
    marked_files,
    position_rows,
    printed,
    refreshed,
    rows_under,
)

README, DEVELOPERS = document("README.md"), document("DEVELOPERS.md")
COMMANDS = sorted(command.name or "" for command in [*app.registered_commands, *app.registered_groups])


def listed(text: str) -> set[str]:
    """Return every word or phrase that stands as code."""
    return set(re.findall(r"`([^`\n]+)`", text))


def section(text: str, heading: str) -> str:
    """Return what stands under a heading, up to the next one of its rank or a higher one."""
    rank = len(heading) - len(heading.lstrip("#"))
    body = text.split(f"\n{heading}\n", 1)[1]
    return re.split(rf"\n#{{1,{rank}}} ", body, maxsplit=1)[0]


def test_the_console_blocks_print_what_stands_there(tmp_path: Path) -> None:
    """In order, in one folder; the exit code is 0 unless the block asks for it. Refresh: ``python -m tests.docs``."""
    shell, steps = Shell(tmp_path, marked_files(README)), console(README)
    asked = [step.command for step in steps[1:]] + [""]
    for step, after in zip(steps, asked, strict=True):
        ran = shell.run(step.command)
        assert agrees(step.lines, printed(ran)), f"$ {step.command}\n{ran.out}{ran.err}"
        assert ran.code == 0 or after == "echo $?", f"$ {step.command}\nended with {ran.code}"


def test_a_line_that_is_not_printed_is_seen() -> None:
    """The comparison can fail: a wrong line, a missing one, one too many, the wrong order."""
    now = ["one", "two", "three 2026-01-02", "four"]
    assert agrees(["one", "[…]", "three 2025-12-31", "four"], now)
    assert agrees(["[…]"], now)
    for wrong in (["one", "two"], ["one", "[…]", "tree"], ["two", "one", "[…]"], [*now, "five"], [*now, "[…]"]):
        assert not agrees(wrong, now)


def test_refreshing_keeps_what_was_left_out() -> None:
    """New figures come in, left-out lines stay out, dates stay."""
    stands = ["a 1", "[…]", "c on 2026-01-01", "d 1"]
    assert refreshed(stands, ["a 2", "b", "b", "c on 2026-02-02", "d 1"]) == ["a 2", "[…]", "c on 2026-01-01", "d 1"]
    assert refreshed(["a", "b"], ["a", "b"]) == ["a", "b"]
    assert refreshed(["a", "b"], ["a", "x", "y"]) == ["a", "x", "y"]


@pytest.mark.parametrize(
    ("marker", "command"),
    [
        ("demo", "python3 -m venv .venv && .venv/bin/pip install -q . && .venv/bin/partsbin demo"),
        (
            "test",
            "python3 -m venv .venv && .venv/bin/pip install -q -e '.[test,check]' && .venv/bin/python -m pytest -n auto",
        ),
    ],
)
def test_installing_and_testing_are_one_command_each(marker: str, command: str) -> None:
    """A line to copy, found by its marker; the script in .ci runs the one for the tests."""
    assert marked(README, marker) == f"{command}\n"


def test_the_readme_opens_with_the_job() -> None:
    """Title, then a paragraph, before any other heading."""
    title, paragraph = README.split("\n\n")[:2]
    assert title == "# partsbin"
    assert "\n" not in title
    assert not paragraph.startswith(("#", "```", "|", "-", "<"))


def test_every_command_is_in_the_readme() -> None:
    """In the table of commands, and in a block that is run or the demonstration's own."""
    words = {phrase.split()[1] for phrase in listed(section(README, "## Commands")) if phrase.startswith("partsbin ")}
    assert words - {"COMMAND"} == set(COMMANDS)
    shown = {
        re.sub(r"^PARTSBIN_\S+ ", "", step.command).split()[1] for step in console(README) if "partsbin" in step.command
    }
    assert shown | {"demo", "serve"} == set(COMMANDS)  # serve ends when it is stopped


def test_every_exit_code_is_in_the_readme() -> None:
    """The three that `main` gives."""
    assert re.findall(r"^\| ([0-9]) \|", section(README, "### Exit codes"), re.MULTILINE) == ["0", "1", "2"]


@pytest.mark.parametrize(
    ("text", "head", "rows"),
    [
        (README, POSITIONS, position_rows()),
        (README, FIELDS, column_rows()),
        (DEVELOPERS, CHECKS, check_rows()),
    ],
    ids=["positions", "columns", "checks"],
)
def test_a_table_that_follows_from_the_code_is_up_to_date(text: str, head: str, rows: list[str]) -> None:
    """Every position, column and check code that there is, and no other. Refresh: ``python -m tests.docs``."""
    assert rows_under(text, head) == rows


def test_every_fact_of_the_set_is_in_the_readme_with_its_words() -> None:
    """One row each."""
    rows = re.findall(r"^\| `(\w+)` \| (.*) \|$", section(README, "### Facts of the set"), re.MULTILINE)
    assert [name for name, _ in rows] == list(FACTS)
    for name, said in rows:
        assert set(FACTS[name].choices) <= listed(said)


def test_every_column_of_our_own_is_in_the_readme() -> None:
    """Those that a part of any family may have."""
    paragraphs = section(README, "## Lists that it reads").split("\n\n")
    assert set(PART_COLUMNS) <= listed(next(part for part in paragraphs if part.startswith("Columns of every family:")))


def test_every_reading_of_the_readme_can_be_read() -> None:
    """Each family's quantities, in the notation shown."""
    rows = section(README, "## Lists that it reads").split("| family | readings |")[1]
    for name in names():
        row = next(line for line in rows.splitlines() if line.startswith(f"| {name} |"))
        quantities = {read_measurement(load(name), text).quantity.partition("@")[0] for text in listed(row)}
        assert quantities == {reading.name for reading in load(name).readings}


def test_every_verdict_is_in_the_readme() -> None:
    """As it is printed."""
    table = section(README, "## How to read an answer")
    assert set(re.findall(r"^\| `([A-Z]+)` \|", table, re.MULTILINE)) == {"FITS", "CARE", "MEASURE", "UNFIT"}


def test_every_link_and_path_of_the_documents_exists() -> None:
    """Files and folders that stand as code."""
    paths = {
        word for word in listed(README + DEVELOPERS) if re.fullmatch(r"(partsbin|tests|schemas|\.ci)/[\w./]*", word)
    }
    assert len(paths) > 10
    assert sorted(path for path in paths if not (ROOT / path).exists()) == []


def test_every_grid_of_labels_is_listed() -> None:
    """By the size of its labels, as the option takes it."""
    section = README.split("## Labels\n")[1].split("\n## ")[0]
    assert {name for name in listed(section) if re.fullmatch(r"[0-9.]+x[0-9.]+", name)} == set(GRIDS)
