"""Gangs called at notice, in words."""

from __future__ import annotations

from small_study import GANG, small_study

from sitesim.report.called import called_gangs


def test_calls_and_days_away_are_told() -> None:
    # Two calls ten days apart in one run, three over twenty days in the next: 2.5 and 15 on average.
    told = called_gangs(small_study().summary)
    assert told.startswith("Called at notice, in a run: ")
    assert f"{GANG} 2.5 ± 0.2 times, 15 ± 2 days away in between" in told
    assert told.endswith("That time is not waiting.")


def test_a_site_where_nobody_is_called_has_no_word_of_it() -> None:
    assert called_gangs({"calls": []}) == ""
