"""Printing in dry wind: above a limit of evaporation each layer is kept wet, which takes time, or printing stops.

Kind of the tests: deterministic. The rig prints ten layers on Monday 8 March from 175.375 h on, one each 18 min 45 s.
Recomputed by hand from the stated rules: no source outside the project.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
from rigs import entries_of, play_plan, printing_plan

from sitesim.plan import Climate, Doing, Evaporation, HourlyRecord, Limits, Plan
from sitesim.site import Played
from sitesim.trade.evaporation import evaporation_rate

WETTING = 0.0625  # 3 min 45 s, a whole number of ticks


def dry_wind(evaporation: Evaporation | None) -> Plan:
    """Make the rig with a dry wind from seven to nine on Monday the 8th, and damp calm at all other hours."""
    wind, humidity = np.zeros((365, 24)), np.ones((365, 24))
    monday = (date(2026, 3, 8) - date(2026, 1, 1)).days
    wind[monday, 7:9], humidity[monday, 7:9] = 8.0, 0.2
    days = np.arange(365) + date(2026, 1, 1).toordinal()
    record = HourlyRecord(
        "by hand", "for a test", days, 1, np.full((365, 24), 25.0), wind, np.zeros((365, 24)), humidity
    )
    plan = printing_plan(buildings=1)
    assert plan.print_day is not None
    climate = Climate(record, {"print": Limits("print", evaporation=evaporation)}, 1.5, 10, 0, 1.0)
    return replace(plan, climate=climate, print_day=replace(plan.print_day, limits="print"))


def layer_ends(played: Played) -> list[float]:
    return [layer.end for layer in played.ledger.layers or () if layer.end < 192.0]


def test_the_wind_of_the_rig_dries_faster_than_the_limit() -> None:
    assert evaporation_rate(np.array(25.0), np.array(25.0), np.array(0.2), np.array(8.0)) > 1.0
    assert evaporation_rate(np.array(25.0), np.array(25.0), np.array(1.0), np.array(0.0)) < 1.0


def test_each_layer_begun_in_the_dry_hours_takes_the_measures_too() -> None:
    usual = layer_ends(play_plan(dry_wind(None), keep_diary=True))
    assert usual == [176.0 + 0.3125 * i for i in range(10)]
    played = play_plan(dry_wind(Evaporation(1.0, None, WETTING)), keep_diary=True)
    # Until nine, hour 177: four layers are begun at 175.375, 176.0625, 176.4375 and 176.8125, each kept wet before.
    begun = [175.375 + WETTING]
    ends = [begun[0] + 0.625]
    while ends[-1] < 177.0:
        ends.append(ends[-1] + WETTING + 0.3125)
    wetted = len(ends)
    ends += [ends[-1] + 0.3125 * i for i in range(1, 10 - wetted + 1)]
    assert wetted == 4
    assert layer_ends(played) == ends
    (day, *_) = played.ledger.printed or []
    assert [span.end - span.start for span in day.spans if span.doing is Doing.KEEPING_WET] == [WETTING] * wetted
    assert entries_of(played)["A/print day 1"].end == 180.0625 + wetted * WETTING


def test_without_measures_the_same_hours_stop_the_work() -> None:
    # Dry from seven to nine: nothing is primed or printed before nine, hour 177.
    ends = layer_ends(play_plan(dry_wind(Evaporation(1.0)), keep_diary=True))
    assert ends[0] == 177.0 + 0.25 + 0.625
