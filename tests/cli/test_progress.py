"""What is said on a terminal while long work goes on."""

from __future__ import annotations

import io
import sys

import pytest

from partsbin.cli.progress import left, progress


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        """Say so."""
        return True


@pytest.mark.parametrize(
    ("stream", "said"),
    [(Terminal(), "\r\x1b[Ka.csv: 0 of 9,000 rows\r\x1b[Ka.csv: 4,096 of 9,000 rows\r\x1b[K"), (io.StringIO(), "")],
)
def test_progress_is_shown_on_a_terminal_only(stream: io.StringIO, said: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """And its line is cleared in the end."""
    monkeypatch.setattr(sys, "stderr", stream)
    with progress("a.csv", 9_000) as tell_rows:
        tell_rows(4096)
    assert stream.getvalue() == said


def test_a_refused_row_is_told_while_the_rest_is_looked_over(monkeypatch: pytest.MonkeyPatch) -> None:
    """Once: of a long list the account comes minutes later."""
    monkeypatch.setattr(sys, "stderr", stream := Terminal())
    with progress("a.csv", warning="a row is refused") as tell_rows:
        for refused in (0, 1, 2):
            tell_rows(4096, refused)
    assert stream.getvalue().count("a row is refused\n") == 1
    assert "a.csv: 4,096 rows, 2 refused" in stream.getvalue()


def test_work_of_several_parts_names_each(monkeypatch: pytest.MonkeyPatch) -> None:
    """With its own number of rows."""
    monkeypatch.setattr(sys, "stderr", stream := Terminal())
    with progress("copied") as told:
        told(20, name="copied", of=90)
        told(10, name="compared", of=90)
    assert stream.getvalue().endswith("copied: 20 of 90 rows\r\x1b[Kcompared: 10 of 90 rows\r\x1b[K")


@pytest.mark.parametrize(("took", "said"), [(3.0, ""), (20.0, ", 60 s left"), (600.0, ", 30 min left")])
def test_how_long_a_list_takes_yet_is_told_where_it_is_worth_a_word(took: float, said: str) -> None:
    """A quarter of the rows is done."""
    assert left(took, 1_000, 4_000) == said


def test_by_the_first_few_rows_nobody_can_say_how_long_a_list_takes() -> None:
    """They wait for what comes before them."""
    assert left(2.0, 1, 1_000_000) == ""


def test_who_interrupts_an_import_is_told_what_became_of_it(capsys: pytest.CaptureFixture[str]) -> None:
    """All of it is one transaction."""
    with pytest.raises(KeyboardInterrupt), progress("a.csv"):
        raise KeyboardInterrupt
    assert capsys.readouterr().err == "partsbin: interrupted: nothing was written\n"


def test_what_nobody_can_count_is_said_while_it_lasts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Until there is a number."""
    monkeypatch.setattr(sys, "stderr", stream := Terminal())
    with progress("pages") as told:
        told(10, name="words", of=90)
    assert stream.getvalue() == "\r\x1b[Kpages …\r\x1b[Kwords: 10 of 90 rows\r\x1b[K"
