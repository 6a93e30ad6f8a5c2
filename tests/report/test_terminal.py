"""The tables of the terminal: they fit, they say what the summary says, and marks in names stay marks."""

from __future__ import annotations

from io import StringIO

import pytest
from rich.console import Console
from small_study import GANG, REASON, SmallStudy, small_study

from sitesim.report.terminal import run_report


def printed(study: SmallStudy, width: int = 100) -> str:
    file = StringIO()  # not a terminal: as if piped
    Console(file=file, width=width).print(run_report(study.summary))
    return file.getvalue()


def test_it_says_which_days_it_counts() -> None:
    told = printed(small_study())
    assert "What held the date?  (calendar days" in told
    assert "whose day is it?  (working days of the site" in told


@pytest.mark.parametrize("width", [80, 100, 200])
def test_it_fits(width: int) -> None:
    assert max(len(line) for line in printed(small_study(), width).splitlines()) <= min(width, 100)


def test_a_narrow_terminal_breaks_no_date_from_its_error() -> None:
    narrow, wide = printed(small_study(), 80), printed(small_study(), 100)
    assert not any(line.rstrip().endswith("±") for line in narrow.splitlines())
    assert "Jul 9, 2027 ± " in wide


def test_it_is_plain_text_when_piped() -> None:
    assert "\x1b" not in printed(small_study())


def test_it_tells_dates_waiting_cost_and_concrete() -> None:
    told = printed(small_study())
    # the 32nd of 40 runs ends on day 100 + 31, which is 130 days after 1 March 2027
    assert "Four in five runs finish by Jul 9, 2027" in told
    # run 0 alone ends by the plain plan's date, which is 99 days after 1 March
    assert "Jun 8, 2027, met by 1 of 40 runs" in told
    for home in ("Home A1", "Home A2"):
        assert home in told
    assert "the work before it 60, inspection 40" in told
    # 10 m³ are 13.1 yd³; 8 of 10 are in the walls
    assert "13.1 yd³" in told
    assert "80 %" in told
    assert "the nozzle lays concrete 50 % of their time" in told
    assert "print days 27.0" in told  # 12 + 14 days, and in every other run one more of each
    assert "Gangs share <one> fortune." in told
    assert "Limits defer to the engineer & the code." in told


def test_names_with_brackets_are_not_read_as_marks() -> None:
    study = small_study()
    study.summary["time"][0]["resource"] = "[red]shell[/red]"
    assert "[red]shell[/red]" in printed(study)
    assert GANG.split()[0] in printed(study)


def test_unfinished_runs_are_counted_with_their_reasons() -> None:
    told = printed(small_study(unfinished=3))
    assert "3 of 40 runs did not come to an end" in told
    assert REASON in told


def test_a_site_without_printing_homes_or_runs_that_end() -> None:
    told = printed(small_study(runs=3, unfinished=3, units="metric", printed=False, homes=False, weather=False))
    assert told.startswith("None of 3 runs comes to an end")
    assert "concrete go" not in told
    assert "no date" in told
