"""A donor stripped, a job planned and its shortage ordered on the page, by touch and in every view."""

from __future__ import annotations

from collections.abc import Callable

from tests.page.browser.chromium import Tab
from tests.page.browser.workshop import Workshop

Keep = Callable[[Tab, str], None]


def test_a_donor_is_stripped_line_after_line(workshop: Workshop, keep: Keep) -> None:
    """Each line is read back, the field is ready for the next, and the last one is taken back with one tap."""
    tab = workshop.tab
    tab.open(f"{workshop.site}/donor/D-003/strip")
    for line, said in (("2x 22n 630V film", "22 nF 630 V film"), ("1M log pot ; place R9", "1 MΩ log potentiometer")):
        tab.type("a part, as you would say it", line)
        tab.press("Enter", leads=True)
        tab.until(lambda: tab.focused.startswith("textbox a part"), "ready for the next line")
        assert said in tab.text
    tab.tap("button", "take back", leads=True)
    assert "1 part, 2 pieces in this sitting" in tab.text
    keep(tab, f"strip-{workshop.view}")


def test_what_a_donor_still_owes_is_read_one_after_another(workshop: Workshop) -> None:
    """With the meter in the other hand: a figure, a tap; the part stays until it owes nothing, the next is a tap away."""
    tab = workshop.tab
    tab.open(f"{workshop.site}/donor/D-015/owed")
    assert "P-0245" in tab.text.split("After that")[0]
    assert "caution: set off, capacitors discharged" in tab.text
    tab.type("resistance, one leg lifted", "12k")
    tab.tap("radio", "all 3 of them")
    tab.tap("button", "write down, next", leads=True)
    assert "P-0245; read" in tab.text
    tab.tap("link", "from the beginning", leads=True)
    assert "P-0247" in tab.text.split("After that")[0]


def test_a_job_is_opened_listed_and_planned(workshop: Workshop, keep: Keep) -> None:
    """From the words on the bench to parts that are set aside for it, and one of them fitted from the plan."""
    tab = workshop.tab
    tab.open(f"{workshop.site}/jobs")
    tab.type("what the set is", "intercom")
    tab.type("lineup:", "ECC83 EL84 EZ80")
    tab.tap("button", "open it", leads=True)
    job = tab.address.rpartition("/")[2]
    tab.tap("DisclosureTriangle", "paste a list")
    tab.type("a line a part", "C7 coupling 0.02uF 350V\nC1 reservoir 32uF 350V")
    tab.tap("button", "note what it wants", leads=True)
    tab.tap("link", "the plan", leads=True)
    assert "2 of 2 pieces served" in tab.text
    tab.tap("button", "set aside what the plan says", leads=True)
    keep(tab, f"planned-{workshop.view}")
    tab.tap("link", "the plan", leads=True)
    tab.tap("link", "fit P-", leads=True)
    tab.tap("button", "fit it", leads=True)
    assert f"fitted in {job}" in tab.text
    tab.open(f"{workshop.site}/jobs")
    assert tab.value("document.getElementById('what').value") == ""


def test_what_runs_short_is_ordered_and_booked(workshop: Workshop, keep: Keep) -> None:
    """From the job's shortage to the supplier's box on the shelf, which says what it would serve."""
    tab, job = workshop.tab, workshop.job("intercom from the cellar", "rail=200")
    workshop.told("job", "need", job, "capacitor", "0.02uF 350V", "-p", "coupling", "-d", "C77", "--pieces", "500")
    tab.open(f"{workshop.site}/orders")
    tab.tap("checkbox", job)
    tab.tap("button", "what is to be ordered?", leads=True)
    assert "K1" in tab.text.split("The least dear order")[1]
    keep(tab, f"order-{workshop.view}")
    tab.tap("button", "it is sent", leads=True)
    if "order 1 to" in tab.text:
        tab.tap("link", "order 1 to", leads=True)
    tab.type("where what is new lies now", "drawer E1")
    tab.tap("button", "put what came on the shelf", leads=True)
    assert f"would serve C77 of {job}" in tab.text
