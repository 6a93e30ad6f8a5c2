"""The plan of a scenario, put together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from math import ceil, inf

from sitesim.hours import WeekPattern
from sitesim.plan import Building, Costs, Fortune, Node, Plan, Promise
from sitesim.plan.absences import absent
from sitesim.policies import Relocation, TakeDown
from sitesim.scenario.model import WHOLE_SITE, ScenarioModel
from sitesim.scenario.planning.climate import make_climate
from sitesim.scenario.planning.finishing import FinishingNetwork
from sitesim.scenario.planning.network import Network
from sitesim.scenario.planning.printing import make_print_day, make_wall
from sitesim.scenario.planning.sharing import make_sharing
from sitesim.scenario.planning.shells import (
    ShellStory,
    hand_in_slab,
    hold_tents,
    make_shell,
    tell_shell,
)
from sitesim.scenario.planning.supply import make_supply
from sitesim.scenario.planning.tasks import TaskMaker, make_inspectors
from sitesim.scenario.planning.units import BOTH_SHIFTS, make_roster, numbered
from sitesim.weather.record import WeatherRecord


def make_plan(model: ScenarioModel, record: WeatherRecord | None) -> Plan:
    """Give the plan of a scenario that has been found free of faults.

    Parameters: ``model``; ``record``, its weather, or None where it names none.
    """
    start, days = model.site.start, ceil(model.site.horizon)
    last = start + timedelta(days=days)
    roster = make_roster(model)
    tasks = TaskMaker(model, roster)
    network = Network()
    relocation = None if model.relocation is None or not model.walls else model.relocation.policy
    stories = {
        name: _tell_building(model, network, tasks, name, index, relocation)
        for index, name in enumerate(model.building_order)
    }
    finishing = FinishingNetwork(
        model,
        network,
        tasks,
        events={name: story.events for name, story in stories.items()},
        first_rank={name: story.rank for name, story in stories.items()},
    )
    finishing.write()
    if relocation is not None and relocation.tent_leaves is TakeDown.ROOF:
        hold_tents(network, stories.values(), finishing.before_roof)
    nodes = network.nodes()
    plan = Plan(
        name=model.name,
        start=start,
        days=days,
        units_of_measure=model.units,
        calendars=_calendars(model, start, last),
        climate=make_climate(model, record),
        units=roster.units,
        inspectors=make_inspectors(model),
        buildings=tuple(_building(model, tasks, story, nodes) for story in stories.values()),
        nodes=nodes,
        relocation=relocation,
        print_day=make_print_day(model, roster),
        supply=make_supply(model),
        fortune=Fortune(model.site.fortune.site, model.site.fortune.building),
        costs=_costs(model),
        promises=tuple(_promises(model)),
        sharing=make_sharing(model),
    )
    return model.trouble.changed(_without_the_absent(model, plan))


def _without_the_absent(model: ScenarioModel, plan: Plan) -> Plan:
    """Take each gang out of the plan on the dates on which it cannot be had."""
    last = plan.start + timedelta(days=plan.days)
    for name, gang in model.crews.items():
        closed = gang.closed_dates(plan.start, last)
        for called in numbered(name, gang.count):
            index = next(i for i, unit in enumerate(plan.units) if unit.name == called)
            plan = absent(plan, index, closed)
    return plan


def _calendars(model: ScenarioModel, start: date, last: date) -> dict[str, WeekPattern]:
    """Give the working weeks by name, with that of two print shifts together where there are two."""
    patterns = {name: week.pattern(start, last) for name, week in model.calendars.items()}
    printer = model.printer
    if printer is not None and printer.second_crew is not None:
        first, second = (patterns[model.calendar_of(skill)] for skill in (printer.crew, printer.second_crew))
        patterns[BOTH_SHIFTS] = first.relieved_by(second)
    return patterns


def _tell_building(
    model: ScenarioModel,
    network: Network,
    tasks: TaskMaker,
    name: str,
    index: int,
    relocation: Relocation | None,
) -> ShellStory:
    """Write down what happens to a building before its finishing: its slab, and its shell if it is printed."""
    story = ShellStory(network, tasks, name, index)
    wall, slab = model.wall_of(name), model.site.buildings[name].slab
    if wall is not None or slab is not None:
        ready = 24.0 * ((slab or model.site.start) - model.site.start).days
        hand_in_slab(story, ready, model.site.slab_cure)
    if wall is not None and relocation is not None:
        tell_shell(story, wall, relocation)
    return story


def _building(model: ScenarioModel, tasks: TaskMaker, story: ShellStory, nodes: tuple[Node, ...]) -> Building:
    name, at = story.name, model.site.buildings[story.name].at
    wall = model.wall_of(name)
    shell = None
    if wall is not None and model.printer is not None and model.concrete is not None:
        planned = make_wall(wall, model.printer, model.concrete, model.layers_a_day(name))
        planned = replace(planned, witnessed=tasks.witnessed(wall))
        shell = make_shell(story, planned, nodes, tasks.roster.fronts[model.front_of(name)])
    return Building(name, story.building, model.site.buildings[name].homes, shell, at)


def _promises(model: ScenarioModel) -> Iterator[Promise]:
    """Give the promised dates in the order of the file; those without a date have been told before."""
    homes = {home: name for name, entry in model.site.buildings.items() for home in entry.homes}
    for name, entry in model.promise.dates.items():
        building, home = (homes[name], name) if name in homes else ("" if name == WHOLE_SITE else name, "")
        by = model.promised_date(name)
        assert by is not None
        penalty, bonus = (inf if most is None else most for most in (entry.most_penalty, entry.most_bonus))
        working = model.promise.days == "working"
        yield Promise(name, building, home, by, entry.penalty, entry.bonus, penalty, bonus, working)


def _costs(model: ScenarioModel) -> Costs:
    costs = model.costs
    return Costs(
        currency=costs.currency,
        overhead=costs.overhead,
        crane_call=costs.crane_call,
        reinspection=costs.reinspection,
        lost_visit=costs.lost_visit,
        heater_hour=costs.fuel * model.tent.heater.power if model.tent and model.tent.heater else 0.0,
        heater_day=costs.heater_day if model.tent and model.tent.heater else 0.0,
    )
