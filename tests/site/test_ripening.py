"""Time that passes by warmth and dry air, and the heat that it takes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from rigs import network_plan, printing_plan

from sitesim.chance import Fixed, Luck
from sitesim.hours import NEVER
from sitesim.plan import Climate, HourlyRecord, Law, Limits, Plan, Ripening, Shelter
from sitesim.site import Stage, play
from sitesim.site.skies import RunHours

TENT = Shelter(rise=12.0, set_point=15.0)


def climate(temperature: float | np.ndarray, shelter: Shelter | None = TENT) -> Climate:
    """Four years in which every day is like the other, under a tent or in the open."""
    days = np.arange(date(2012, 1, 1).toordinal(), date(2016, 1, 1).toordinal())
    hours = np.broadcast_to(np.asarray(temperature, dtype=float), (len(days), 24)).copy()
    calm = np.zeros((len(days), 24))
    record = HourlyRecord("even", "made up", days, 4, hours, calm, calm)
    return Climate(record, {"printing": Limits("printing", shelter=shelter)}, 1.5, 10, 15, 1.0)


def hours_of(plan: Plan) -> RunHours:
    return RunHours(Stage(plan), Luck(1, 0))


def rig(temperature: float | np.ndarray) -> Plan:
    return replace(network_plan({"a": ((), Fixed(1.0))}, days=100), climate=climate(temperature))


def test_maturity_is_hours_times_degrees_above_the_datum() -> None:
    hours = hours_of(rig(10.0))
    # 10 °C outside and 15 °C in the tent: 20 and 25 °C·h an hour above a datum of -10 °C.
    assert hours.ripened(Ripening(Law.MATURITY, 400.0, -10.0), 7.5) == 7.5 + 20.0
    assert hours.ripened(Ripening(Law.MATURITY, 400.0, -10.0, TENT), 7.5) == 7.5 + 16.0


def test_what_is_never_warm_enough_never_ripens() -> None:
    assert hours_of(rig(-5.0)).ripened(Ripening(Law.MATURITY, 10.0, 0.0), 0.0) == NEVER


def test_a_day_that_warms_up_counts_hour_by_hour() -> None:
    day = np.arange(24.0)  # 0 °C at midnight, one degree more each hour: 0 + 1 + ... + 9 = 45 °C·h by ten o'clock
    assert hours_of(rig(day)).ripened(Ripening(Law.MATURITY, 45.0), 0.0) == 10.0
    assert hours_of(rig(day)).ripened(Ripening(Law.MATURITY, 50.0), 0.0) == 10.5  # half of the hour that counts 10


def test_without_weather_it_is_twenty_degrees() -> None:
    plan = network_plan({"a": ((), Fixed(1.0))}, days=100)
    assert hours_of(plan).ripened(Ripening(Law.MATURITY, 400.0, 0.0), 3.0) == 23.0
    assert hours_of(plan).ripened(Ripening(Law.DRYING, 72.0), 3.0) == 75.0


def test_a_coat_dries_by_its_own_hours_at_twenty_degrees_and_slower_in_the_cold() -> None:
    assert hours_of(rig(20.0)).ripened(Ripening(Law.DRYING, 72.0), 5.0) == pytest.approx(77.0, abs=0.01)
    assert hours_of(rig(10.0)).ripened(Ripening(Law.DRYING, 72.0), 5.0) > 77.0 + 60.0


def test_a_step_takes_its_time_or_its_maturity_whichever_is_longer() -> None:
    plan = rig(10.0)
    (node,) = plan.nodes

    def end(target: float) -> float:
        task = replace(node.task, ripening=Ripening(Law.MATURITY, target), needs=())
        return play(Stage(replace(plan, nodes=(replace(node, task=task),))), 1, 0).ledger.ended[0]

    assert end(5.0) == 1.0
    assert end(200.0) == 20.0


def test_a_tent_is_heated_while_it_stands_and_only_as_far_as_it_is_cold() -> None:
    plan = printing_plan(buildings=1)
    assert plan.print_day is not None
    plan = replace(
        plan,
        climate=climate(9.0),  # 6 °C below the set point: half of the rise
        print_day=replace(plan.print_day, limits="printing"),
        costs=replace(plan.costs, heater_hour=15.0),
    )
    played = play(Stage(plan), 1, 0)
    (shell,) = (building.shell for building in plan.buildings)
    assert shell is not None
    stands = played.ledger.ended[shell.tent_up]
    struck = next(entry.start for entry in played.ledger.entries if entry.node == shell.tent_down)
    assert played.ledger.counts.heated_hours == pytest.approx(0.5 * (struck - stands), abs=1.0)
    warm = replace(plan, climate=climate(16.0))
    assert play(Stage(warm), 1, 0).ledger.counts.heated_hours == 0.0
