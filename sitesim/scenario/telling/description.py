"""What will be played, said back in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sitesim.plan import Plan
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.sections.calendar import WEEKDAYS, WorkingWeek
from sitesim.scenario.sections.supply import ReadyMixSupply, SiteMixing
from sitesim.scenario.telling.flow import tell_flow
from sitesim.scenario.telling.inspections import tell_inspections
from sitesim.scenario.telling.measures import (
    Measures,
    day,
    each_once,
    minutes,
    several,
    share,
    time_of_day,
    together,
    working_days,
)
from sitesim.scenario.telling.money import tell_money
from sitesim.scenario.telling.printing import tell_stops, tell_walls
from sitesim.scenario.telling.relocation import tell_relocation
from sitesim.scenario.telling.sharing import tell_sharing
from sitesim.scenario.telling.weather import tell_weather
from sitesim.weather.record import WeatherRecord


def tell_description(model: ScenarioModel, plan: Plan, record: WeatherRecord | None) -> list[str]:
    """Say what will be played, a line for each thing."""
    measures = Measures(model.units == "us")
    return each_once(
        [
            *_site(model),
            *_hours(model),
            *tell_walls(model, plan, measures),
            *_supply(model, measures),
            *_pours(model, plan, measures),
            *_crews(model, plan),
            *tell_relocation(model, plan, measures),
            *_finishing(model, plan),
            *tell_inspections(model),
            *tell_weather(model, record, measures),
            *tell_stops(model),
            *tell_money(model, plan),
        ]
    )


def _site(model: ScenarioModel) -> Iterator[str]:
    site = model.site
    homes = sum(len(entry.homes) for entry in site.buildings.values())
    yield (
        f"{model.name}: {several(len(site.buildings), 'building')} with {several(homes, 'home')}, from "
        f"{day(site.start)}; what is not done after {site.horizon:g} days counts as unfinished."
    )
    for name in model.building_order:
        entry = site.buildings[name]
        parts = [f"homes {', '.join(entry.homes)}" if entry.homes else "no homes"]
        if model.wall_of(name) is None:
            parts.append("not printed")
        if model.wall_of(name) is not None or entry.slab is not None:
            parts.append(f"slab ready on {day(entry.slab or site.start)}")
        yield f"Building {name}: {'; '.join(parts)}."
    for front, names in site.fronts.items():
        yield f"Front {front}: {', '.join(names)}, in this order, with gantries and tents of its own."


def _hours(model: ScenarioModel) -> Iterator[str]:
    for name, week in model.calendars.items():
        note = f" One working day (wd) is {week.longest_day:g} h." if name == "site" else ""
        yield f"Hours of {name}: {_week(week)}.{note}"


def _week(week: WorkingWeek) -> str:
    spans = together(f"{time_of_day(start)}-{time_of_day(end)}" for start, end in week.hours)
    kept = "no public holidays" if week.holidays == "none" else f"public holidays of {week.holidays}"
    closed = f", closed on {several(len(week.closed), 'further date')}" if week.closed else ""
    return f"{_days(week.days)}, {spans}, {kept}{closed}"


def _days(days: tuple[int, ...]) -> str:
    if len(days) > 2 and days[-1] - days[0] == len(days) - 1:
        return f"{WEEKDAYS[days[0]]}-{WEEKDAYS[days[-1]]}"
    return ", ".join(WEEKDAYS[day] for day in days)


def _supply(model: ScenarioModel, measures: Measures) -> Iterator[str]:
    supply = model.supply
    if not model.walls:
        return
    if isinstance(supply, ReadyMixSupply):
        yield (
            f"Ready-mix: loads of {measures.volume(supply.load)}, {_ordering(supply)} "
            f"{several(supply.trucks, 'truck')}; ordered by "
            f"{time_of_day(supply.cut_off)} the day before; haul {minutes(supply.haul.mean)} on average; "
            f"{share(supply.refused)} of loads are refused at the gate."
        )
        yield _morning_call(model, supply)
        yield from _plant(supply)
        if supply.holding_hopper is not None:
            hopper = supply.holding_hopper
            longer = f", and lets it be used {hopper.life:g} times as long" if hopper.life > 1.0 else ""
            yield (
                f"A stirred holding hopper of {measures.volume(hopper.capacity)} takes a whole load once no more than "
                f"{measures.volume(hopper.refill_at)} is left in it, and lets the truck go{longer}; all that is in it "
                "counts as old as the oldest part."
            )
    elif isinstance(supply, SiteMixing):
        yield (
            f"Mixed on site: batches of {measures.volume(supply.batch)}, one every {minutes(supply.cycle.mean)} on "
            f"average; {share(supply.batch_fails)} of batches are thrown away."
        )
        if supply.cleaning is not None:
            yield f"The mixer is cleaned every {supply.cleaning.every:g} h for {minutes(supply.cleaning.time)}."
        if supply.store is not None:
            yield (
                f"Dry material for {measures.volume(supply.store.capacity)} of concrete stands on site; at "
                f"{measures.volume(supply.store.reorder_at)} material for {measures.volume(supply.store.delivery)} is "
                f"ordered, {working_days(supply.store.lead, model.day_hours)}."
            )


def _pours(model: ScenarioModel, plan: Plan, measures: Measures) -> Iterator[str]:
    """Say what is poured besides printing, task by task."""
    works = {name: work for wall in model.walls.values() for name, work in wall.tasks.items()} | model.finishing_tasks
    for name in dict.fromkeys(node.task.name for node in plan.nodes if node.task.pour is not None):
        work = works[name]
        pour = work.pour
        assert pour is not None
        yield (
            f"Pour of {name.replace('_', ' ')}: {measures.volume(pour.volume)} of ordinary concrete in loads of up to "
            f"{measures.volume(pour.load)}, placed by {pour.by} at up to {measures.volume(pour.rate)} an hour, used "
            f"within {minutes(pour.working_life)} of first water; ordered the day before."
        )


def _ordering(supply: ReadyMixSupply) -> str:
    """Say how loads follow one another, up to the number of trucks."""
    first = time_of_day(supply.first_arrival)
    if supply.ordering == "will-call":
        return f"the first at {first}, each further one called {minutes(supply.lead or 0.0)} ahead;"
    if supply.ordering == "days-need":
        early = minutes(supply.early)
        return f"from {first}, each {early} before those ahead of it are expected to be used up,"
    again = f", one more called {minutes(supply.lead or 0.0)} ahead when a day will run short" if supply.top_up else ""
    return f"{minutes(supply.spacing or 0.0)} apart from {first}{again},"


def _morning_call(model: ScenarioModel, supply: ReadyMixSupply) -> str:
    """Say what the plant is told with the go of a morning, until when it takes that, and for how much."""
    fee = model.costs.cancellation
    price = f", for {model.costs.currency} {fee:,.2f} each".replace(".00", "") if fee else ""
    until = f"up to {minutes(supply.notice)} before it is batched" if supply.notice else "until it is batched"
    what = (
        "what the day will not need any more is called off or made smaller"
        if supply.morning_call == "adjust"
        else "the order is confirmed, or called off as a whole"
    )
    before = f", {minutes(model.printer.go_before)} before the crew begins" if model.printer is not None else ""
    return f"With the go of a morning{before}, {what}; a load can be called off {until}{price}."


def _plant(supply: ReadyMixSupply) -> Iterator[str]:
    """Say what comes between plant and site."""
    if supply.calendar is not None:
        yield f"The plant batches in the hours of {supply.calendar}."
    if supply.other_customers:
        yield f"Other customers' loads take {share(supply.other_customers)} of the loading bay's time."
    for span in supply.traffic:
        yield f"A truck that leaves in {_spans(span.hours)} takes {span.factor:g} times as long."
    for outage in supply.outages:
        part = "" if outage.hours == ((0.0, 24.0),) else _spans(outage.hours)
        dates = f"on {together(day(date) for date in outage.on)}" if outage.on else ""
        dates += f", {part}" if dates and part else ""
        chance = f"with a chance of {share(outage.chance)} a day" if outage.chance else ""
        chance += f" for {minutes(outage.time.mean)} on average" if chance and outage.time else ""
        chance += f", from {part} on" if chance and part else ""
        yield f"Lost ({outage.of}): {outage.name}, {' and '.join(part for part in (dates, chance) if part)}."


def _spans(hours: Iterable[tuple[float, float]]) -> str:
    return together(f"{time_of_day(begin)}-{time_of_day(end)}" for begin, end in hours)


def _crews(model: ScenarioModel, plan: Plan) -> Iterator[str]:
    if not model.crews:
        return
    gangs = []
    for name, gang in model.crews.items():
        count = f"{gang.count} gangs of " if gang.count > 1 else ""
        skills = f": {', '.join(gang.skills)}" if gang.skills and gang.skills != (name,) else ""
        gangs.append(f"{name} ({count}{gang.size}{skills})")
    yield f"Crews: {', '.join(gangs)}."
    for name, gang in model.crews.items():
        spells = [
            *([f"from {day(gang.here_from)}"] if gang.here_from else []),
            *([f"until {day(gang.here_until)}"] if gang.here_until else []),
            *(f"not from {day(spell.first)} to {day(spell.last)}" for spell in gang.away),
        ]
        if spells:
            yield f"Of the crews, {name} can be had {together(spells)}."
    yield from tell_flow(model)
    yield from tell_sharing(model)
    machines = [unit.name for unit in plan.units if unit.kind != "gang"]
    if machines:
        yield f"Machines: {', '.join(machines)}."


def _finishing(model: ScenarioModel, plan: Plan) -> Iterator[str]:
    if model.finishing is None:
        return
    for name in dict.fromkeys(model.sequence_of(building) for building in model.building_order):
        tasks = []
        for task in model.finishing.sequences[name]:
            entry = model.finishing.tasks[task]
            per = {"home": "", "building": " (per building)", "site": " (once)"}[entry.per]
            tasks.append(f"{task.replace('_', ' ')}{per}")
        yield f"Finishing by the sequence {name}: {', '.join(tasks)}."
    for task, entry in model.finishing.tasks.items():
        if entry.delivery is not None and any(node.task.name == task for node in plan.nodes):
            ordered = together(dict.fromkeys(after.task for after in entry.delivery.ordered_after))
            yield (
                f"{(entry.delivery.name or f'{task} delivery').capitalize()}: ordered after {ordered}, "
                f"{working_days(entry.delivery.lead, model.day_hours)}."
            )
