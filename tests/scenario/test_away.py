"""Gangs that can be had on some dates only."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from cases import changed, lines_of

from sitesim.scenario import load
from sitesim.study.answering import play_plainly


def test_a_gang_is_not_there_before_it_comes_nor_while_it_is_away(tmp_path: Path) -> None:
    path = changed(tmp_path)
    text = path.read_text()
    line = next(line for line in text.splitlines() if line.startswith("  roof:"))
    away = line.replace("{", "{here_from: 2027-07-07, away: [{first: 2027-07-19, last: 2027-07-23}], ", 1)
    path.write_text(text.replace(line, away))
    plan = load(path).plan()
    roof = next(unit for unit in plan.units if unit.name == "roof")
    dates = plan.calendars[roof.hours].away
    start = plan.start.toordinal()
    until = range(start, date(2027, 7, 7).toordinal())
    assert set(until) <= dates
    assert set(range(date(2027, 7, 19).toordinal(), date(2027, 7, 24).toordinal())) <= dates
    assert date(2027, 7, 7).toordinal() not in dates
    assert date(2027, 7, 26).toordinal() not in dates
    played = play_plainly(plan)
    index = plan.units.index(roof)
    assert played.finished
    for entry in played.ledger.entries:
        if index in entry.units:
            assert entry.start // 24 + start not in dates


def test_a_gang_that_never_comes_is_told(tmp_path: Path) -> None:
    path = changed(tmp_path)
    text = path.read_text()
    line = next(line for line in text.splitlines() if line.startswith("  roof:"))
    path.write_text(text.replace(line, line.replace("{", "{here_until: 2026-01-01, ", 1)))
    (fault,) = lines_of(path)
    assert "crews.roof: can never be had: away, or out of its dates, on every working day" in fault


def test_spells_end_after_they_begin(tmp_path: Path) -> None:
    path = changed(tmp_path)
    text = path.read_text()
    line = next(line for line in text.splitlines() if line.startswith("  roof:"))
    wrong = line.replace("{", "{away: [{first: 2027-04-09, last: 2027-04-05}], ", 1)
    path.write_text(text.replace(line, wrong))
    (fault,) = lines_of(path)
    assert "crews.roof.away.0.last: 2027-04-05 is before 2027-04-09" in fault
