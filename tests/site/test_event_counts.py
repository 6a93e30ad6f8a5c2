"""How many events a run costs: a guard of speed that needs no clock.

The numbers are those of the engine as it is, pinned so that a change that costs events is seen; a change that saves
some lowers them here.
"""

from __future__ import annotations

import pytest
from counted_events import counted_events
from rigs import ROUND_THE_CLOCK, WEEKDAYS, network_plan, play_plan, printing_plan, site_mix

from sitesim.chance import Exponential, Fixed
from sitesim.hours import WeekPattern
from sitesim.plan import Plan, Stop


def events_of(plan: Plan) -> int:
    with counted_events() as count:
        assert play_plan(plan).finished
    return count[0]


def row(tasks: int, with_gang: bool, hours: float, calendar: WeekPattern) -> Plan:
    """One task after another."""
    names = [f"task {i}" for i in range(tasks)]
    network = {name: (names[max(0, i - 1) : i], Fixed(hours)) for i, name in enumerate(names)}
    return network_plan(network, {"gang": names} if with_gang else {}, calendar=calendar)


def test_a_layer_costs_one_event() -> None:
    # Layers of 0.1 m³: the second day takes one load of 1.5 or 2 m³, of which 0.17 m³ are left over. The end of a layer
    # is all that happens in it.
    few, many = (
        printing_plan(buildings=1, layers=layers, day_ends=(20, layers), layer_volume=0.1) for layers in (31, 36)
    )
    assert events_of(many) - events_of(few) == 5


def test_a_layer_from_a_mixer_on_site_costs_a_few_more_for_its_batches() -> None:
    # 0.375 m³ are a batch and a half of 0.25 m³.
    few, many = (
        printing_plan(buildings=1, layers=layers, day_ends=(10, layers), supply=site_mix()) for layers in (14, 20)
    )
    assert events_of(many) - events_of(few) <= 6 * 9


def test_a_print_day_costs_few_events_besides_its_layers_and_loads() -> None:
    # Twenty layers from four loads, in two days and in four: besides those a day aligns, primes and washes out.
    two, four = (printing_plan(buildings=1, day_ends=ends) for ends in ((10, 20), (5, 10, 15, 20)))
    assert events_of(four) - events_of(two) <= 2 * 4


def test_a_whole_printed_building_costs_few_events() -> None:
    # Twenty layers, two print days of two loads, eight steps of the shell and a roof.
    assert events_of(printing_plan(buildings=1)) <= 20 + 2 * 2 * 12 + 9 * 6


def test_stops_cost_a_few_events_each() -> None:
    calm = printing_plan(buildings=1)
    stops = (Stop("jam", "nozzle", Fixed(1.0), Fixed(0.125), False),)
    stopped = printing_plan(buildings=1, stops=stops)
    # 7.5 h of nozzle: seven stops, each with a draw cut in two and a clearing.
    assert events_of(stopped) - events_of(calm) <= 7 * 3
    assert events_of(
        printing_plan(buildings=1, stops=(Stop("jam", "nozzle", Exponential(9e9), Fixed(1.0), False),))
    ) == (events_of(calm))


@pytest.mark.parametrize(
    ("with_gang", "hours", "calendar", "events"),
    [
        (False, 3.0, ROUND_THE_CLOCK, 1),  # its time passes; that needs no process
        (True, 3.0, ROUND_THE_CLOCK, 5),  # its process begins, asks, is granted, its time passes, its process ends
        (True, 300.0, WEEKDAYS, 5),  # a task of weeks costs no more than one of hours
    ],
)
def test_a_task_costs_a_handful_of_events(with_gang: bool, hours: float, calendar: WeekPattern, events: int) -> None:
    few, many = (row(tasks, with_gang, hours, calendar) for tasks in (10, 30))
    # Tasks that begin while the hours are shut cost one more, for the waking.
    extra = 1 if calendar is WEEKDAYS else 0
    assert events_of(many) - events_of(few) == 20 * (events + extra)
