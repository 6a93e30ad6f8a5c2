"""What the model assumes with the numbers of a scenario, in plain sentences."""

from __future__ import annotations

from collections.abc import Iterator

from sitesim.plan import Law, Plan, PrintDay, ReadyMix, UnitKind
from sitesim.plan import Wall as PlannedWall
from sitesim.policies import TakeDown
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.planning.climate import replayed_years
from sitesim.scenario.sections.crews import OVERTIME
from sitesim.scenario.sections.inspections import Point
from sitesim.scenario.sections.printing import Concrete
from sitesim.scenario.sections.wall import Wall
from sitesim.scenario.sections.weather import Weather
from sitesim.scenario.telling.flow import assume_flow
from sitesim.scenario.telling.measures import Measures, each_once, minutes, several, share, together
from sitesim.scenario.telling.money import assume_money
from sitesim.scenario.telling.relocation import assume_relocation
from sitesim.scenario.telling.sharing import assume_sharing
from sitesim.trade.fresh import LinearGrowth, layers_to_failure, steady_rise
from sitesim.weather.record import DailyRecord, HourlyObservations, WeatherRecord
from sitesim.weather.resampling import MANY_YEARS


def tell_assumptions(model: ScenarioModel, plan: Plan, record: WeatherRecord | None) -> list[str]:
    """Say what is assumed, a sentence or two for each thing."""
    measures = Measures(model.units == "us")
    return each_once(
        [
            *_durations(model),
            *tell_weather(model, record),
            *_printing(model, plan, measures),
            *_pours(plan),
            *_ripening(plan),
            *_tent(model, measures),
            *assume_relocation(model, plan),
            *_crews(model, plan),
            *assume_flow(model),
            *assume_sharing(model),
            *_inspections(model),
            *assume_money(model, plan),
        ]
    )


def _durations(model: ScenarioModel) -> Iterator[str]:
    yield "Three values of a duration are read as lowest, likely and highest of a beta-PERT spread."
    site, building = model.site.fortune.site, model.site.fortune.building
    if site or building:
        yield (
            f"The durations of gangs' work share a good or bad fortune: a spread of {share(site)} for the site as a "
            f"whole and of {share(building)} for each building. Printing, deliveries, cures and notice do not share it."
        )
    else:
        yield (
            "Durations share no fortune (site.fortune is 0): on a real site they do, so the late dates come out too "
            "early, and so does the chance that all homes are on time."
        )
    learning = model.learning
    if learning.default < 1.0 or learning.tasks:
        own = [f"{task.replace('_', ' ')} {share(rate)}" for task, rate in learning.tasks.items()]
        told = f" ({', '.join(own)})" if own else ""
        yield (
            f"Each doubling of units brings a crew's time to {share(learning.default)} of what it was{told}, and no "
            f"unit takes less than {share(learning.floor)} of the first."
        )
    yield (
        "What may not be split is fitted into one spell of open hours by its planned time, with foresight of that "
        "spell only."
    )


def tell_weather(model: ScenarioModel, record: WeatherRecord | None) -> Iterator[str]:
    """Say what is assumed of the weather alone."""
    weather, measures = model.weather, Measures(model.units == "us")
    if weather is None or record is None:
        yield "No weather is played: nothing waits for rain, wind or cold."
        return
    years = record.whole_years
    few = ", which are few" if years < MANY_YEARS else ""
    yield _drawn(weather, model.trouble.weather.year, record, f"{several(years, 'year')} of one record{few}")
    if isinstance(record, DailyRecord):
        yield "The record has days only: hours within a day are made up, keeping its extremes, rain and mean wind."
    yield from record.remarks
    yield _gusts(weather, record)
    yield from _held_limits(weather, record, measures)
    yield f"The morning's forecast is taken to be right {share(weather.forecast_skill)} of the time."
    if any(limits.shelter == "indoors" for limits in weather.limits.values()):
        given = "" if "indoors" in weather.model_fields_set else ", assumed since the scenario says nothing of it"
        yield (
            f"Indoors, temporary heat warms by at most {measures.warming(weather.indoors.rise)} and never above "
            f"{measures.temperature(weather.indoors.set_point)}{given}."
        )


def _drawn(weather: Weather, alone: int | None, record: WeatherRecord, years: str) -> str:
    """Say how runs draw from the record; ``alone``, the one year of it that trouble leaves, if it does."""
    given = "a date is said to be so sure given that record"
    year = weather.draw if alone is None else alone
    if isinstance(year, int):
        return f"Every year of a run has the weather of {year}; a date is said to be so sure given that year."
    if replayed_years(weather, record):
        return (
            f"Weather is drawn from {years}: whole years in the order of the record, the first by chance and after the "
            f"last the first again; {given}."
        )
    return (
        f"Weather is drawn from {years}, in blocks of {weather.block:g} days from "
        f"up to {weather.window:g} days on either side of the date; {given}."
    )


def _gusts(weather: Weather, record: WeatherRecord) -> str:
    """Say where gusts come from, and at which height."""
    recorded = isinstance(record, HourlyObservations) and record.gust is not None
    unless = " where it recorded none" if recorded else ""
    has_heights = any(entry.height is not None for entry in weather.limits.values())
    height = "at its height unless a limit names its own" if has_heights else "at its height and not at the hook"
    return (
        f"Gusts are taken as {weather.gust_factor:g} times the hourly mean wind of the station{unless}, {height}; "
        "limits on gusts are held against that."
    )


def _held_limits(weather: Weather, record: WeatherRecord, measures: Measures) -> Iterator[str]:
    """Say what is assumed of limits that are more than a look at the hour's own weather."""
    entries = weather.limits.values()
    if any(entry.height is not None for entry in entries):
        yield (
            f"Wind at a limit's height follows a power law from the {measures.length(weather.station_height)} of the "
            f"station (exponents of ASCE 7 for {weather.terrain} terrain), as if both stood in the same terrain."
        )
    looks_back = any(entry.after_rain or entry.before_rain or entry.ground or entry.frost for entry in entries)
    if looks_back:
        yield (
            "What depends on the hours before or after (rain, wet or frozen ground) is reckoned on the record's own "
            "sequence of hours, and goes with a day to wherever it is drawn."
        )
    if any(entry.before_rain for entry in entries):
        yield "Rain to come is known as long ahead as a limit asks: a forecast that is always right."
    if any(entry.frost for entry in entries):
        yield (
            "The ground counts as frozen by a mean of the air temperature alone: no snow, no soil, no sun; a rule of "
            "thumb, to be replaced by a look at the ground."
        )
    asks_humidity = any(entry.humidity is not None or entry.evaporation is not None for entry in entries)
    if asks_humidity and record.humidity is None:
        yield (
            "The record has no humidity: the air is taken to hold as much vapour all day as saturates it at the day's "
            "lowest temperature (FAO-56), which is too moist in dry places."
        )
    if asks_humidity and any(entry.shelter != "none" for entry in entries):
        yield "Warmed air keeps its vapour and grows drier; the moisture that the work gives off is left out."
    if any(entry.evaporation is not None for entry in entries):
        yield "Evaporation from fresh concrete is by the formula of ACI 305R, which scatters by 40 % either way."
    if any(entry.evaporation is not None and entry.evaporation.measures for entry in entries):
        yield (
            "Above that limit fresh layers are kept wet, in the time that the scenario gives for each, and printing "
            "goes on; other work under these limits goes on too, and takes no longer."
        )


def _printing(model: ScenarioModel, plan: Plan, measures: Measures) -> Iterator[str]:
    day, concrete = plan.print_day, model.concrete
    if day is None or concrete is None:
        return
    shorter = ", shorter in heat by the rate of hardening of fib Model Code 2010"
    heat = shorter if concrete.heat else ", whatever the heat"
    yield (
        f"Concrete may be used for {minutes(day.working_life)} from first water at 20 °C{heat}; this is an input, "
        "agreed with the producer."
    )
    yield from _admixtures(concrete, day)
    if concrete.layer_interval is None and concrete.build_up_at_nozzle is not None:
        yield (
            f"The shortest layer interval, {minutes(day.shortest_interval)}, follows from a build-up of "
            f"{concrete.build_up_at_nozzle:g} Pa/s (Roussel 2006); it stands for a test, not in place of one."
        )
    elif day.shortest_interval == 0.0:
        yield "No shortest layer interval is given: a layer never waits for the one below."
    yield (
        f"A joint older than {minutes(day.open_time)} from bead to bead is counted as unplanned and prepared for "
        f"{minutes(day.joint_time)}; what it means for the wall is for the engineer to say."
    )
    laid = {wall.joint_steel.beside for wall in model.walls.values() if wall.joint_steel is not None}
    if False in laid:
        yield "Joint steel is laid while the nozzle stands still, not beside it."
    if True in laid:
        yield "Joint steel is laid beside the nozzle, which does not wait for it."
    yield from _rise(model, plan, measures)
    if model.breakdowns:
        yield "How often machines stop is a starting value, nothing is published; replace it by your own log."
    else:
        yield "No unplanned stops are played."
    yield "A cure is a fixed time that runs day and night; only the engineer's release counts on site."
    yield (
        "The print crew is kept from the order to the print day, also over a day that is called off; a day's end is "
        "never put off to another layer that would not leave time for wash-out."
    )
    if isinstance(plan.supply, ReadyMix):
        yield (
            "Concrete is ordered for the next morning once the step before is done or will be done that day; a load "
            "that fails its test is replaced by the plant as soon as it can, at the plant's cost."
        )
        late = _first_load_late(plan, day, plan.supply)
        if late > 0.0:
            yield (
                f"The first load of a day cannot be at the gate in time: go or no go falls {minutes(late)} too late. "
                "Decide earlier (printer.go_before), or let it come later (supply.first_arrival)."
            )
    elif sum(unit.kind is UnitKind.PRINTER for unit in plan.units) > 1:
        yield "Each printer has a mixer of its own."
    for building, wall in model.walls.items():
        yield from _beyond_the_tent(model, building, wall)


def _pours(plan: Plan) -> Iterator[str]:
    if any(node.task.pour is not None for node in plan.nodes):
        yield (
            "A pour's concrete is ordered once the step before is done or will be done that day, for the next day at "
            "the earliest; its order moves with the pour without a fee, and its trucks are not those of the printer."
        )


def _ripening(plan: Plan) -> Iterator[str]:
    laws = {node.task.ripening.law for node in plan.nodes if node.task.ripening is not None}
    if Law.MATURITY in laws:
        yield (
            "Maturity after Nurse and Saul is summed from the air in the tent, as if the pour were as warm as that; it "
            "says when to ask for specimens, and releases nothing."
        )
    if Law.DRYING in laws:
        yield (
            "Joint compound is taken to dry with the vapour that the air indoors still takes up; the times given are "
            "those at 20 °C and 50 % humidity."
        )


def _admixtures(concrete: Concrete, day: PrintDay) -> Iterator[str]:
    """Say what retarder, accelerator and a waiver are taken to do."""
    if concrete.retarder > 1.0:
        yield (
            f"A retarder is taken to lengthen working life {concrete.retarder:g} times and to slow the build-up as "
            "many times."
        )
    if concrete.accelerator is not None:
        yield (
            f"Concrete is accelerated at the pump: it is taken to set in a hose that stands for "
            f"{minutes(day.hose_life)}, whose contents are then lost and which is cleared in {minutes(day.hose_clear)}."
        )
    if concrete.waiver is not None:
        yield (
            f"Concrete is used up to {minutes(concrete.waiver.until)} from first water, {minutes(day.waived)} past its "
            f"agreed life, by a waiver of {concrete.waiver.by}; how much that is stands with the results."
        )
    if concrete.heat:
        yield (
            "For its life concrete counts as warm as the air at first water, with the given rise, or as the air in the "
            "tent where that is warmer, all the way to the nozzle."
        )


def _rise(model: ScenarioModel, plan: Plan, measures: Measures) -> Iterator[str]:
    """Hold the pace at which walls rise against what their fresh concrete carries, alike walls together."""
    warned: dict[str, list[str]] = {}
    for building in plan.buildings:
        if building.shell is not None and model.concrete is not None and plan.print_day is not None:
            interval = max(min(building.shell.wall.nozzle_hours), plan.print_day.shortest_interval)
            entry = model.walls[building.name]
            for warning in (
                *_rises_too_fast(entry, interval, model.concrete, measures),
                *_falls(entry, building.shell.wall, interval, model.concrete),
            ):
                warned.setdefault(warning, []).append(building.name)
    for warning, names in warned.items():
        yield f"{together(names)}: {warning}"


def _rises_too_fast(entry: Wall, interval: float, concrete: Concrete, measures: Measures) -> Iterator[str]:
    build_up, rise = concrete.build_up_at_nozzle, entry.layer_height / interval
    if build_up is not None and rise > steady_rise(concrete.density, build_up):
        yield (
            f"the wall rises by up to {measures.height(rise)} an hour, more than the "
            f"{measures.height(steady_rise(concrete.density, build_up))} that a build-up of {build_up:g} Pa/s carries "
            "over the fresh height: ask the engineer, or give a longer layer interval."
        )


def _falls(entry: Wall, wall: PlannedWall, interval: float, concrete: Concrete) -> Iterator[str]:
    """Warn where a free straight bead would fall within a day's layers."""
    fresh = concrete.fresh
    if fresh is None:
        return
    layers = layers_to_failure(
        entry.layer_height,
        entry.bead_width,
        interval,
        concrete.density,
        LinearGrowth(fresh.strength, fresh.strength_growth),
        LinearGrowth(fresh.stiffness, fresh.stiffness_growth),
    )
    done = most = 0
    while done < wall.layers:
        target = wall.day_target(done)
        most, done = max(most, target - done), target
    if layers <= most:
        yield (
            f"by its fresh strength and stiffness a free straight bead, without corners or ties, would fall at layer "
            f"{layers} of a day at {minutes(interval)} a layer; a day is to print {most}. Corners and ties help, how "
            "much is for the engineer to say: fewer layers a day, slower layers, or a stiffer mix."
        )


def _first_load_late(plan: Plan, day: PrintDay, supply: ReadyMix) -> float:
    """Give the time [h] by which the first truck would have to leave before the go of the morning."""
    hours = plan.calendars[plan.units[day.crew[0]].hours]
    starts = [start for spans in hours.spans.values() for start, _ in spans[:1]]
    first = supply.ordering.first_arrival
    return max(starts) - day.go_before - (first - supply.loading.mean - supply.haul.mean)


def _beyond_the_tent(model: ScenarioModel, building: str, wall: Wall) -> Iterator[str]:
    """Say which steps count on a tent that has left by then."""
    entry, weather = model.relocation, model.weather
    if entry is None or weather is None or entry.tent_leaves not in (TakeDown.WALLS, TakeDown.STRENGTH):
        return
    has = "has" if entry.tent_leaves is TakeDown.WALLS else "may have"
    sheltered = [
        name
        for name in wall.finish
        if (limits := weather.limits.get(wall.tasks[name].limits or "")) is not None and limits.shelter == "tent"
    ]
    if sheltered:
        yield f"{building}: {together(sheltered)} is held to limits in the tent, which {has} left by then."


def _tent(model: ScenarioModel, measures: Measures) -> Iterator[str]:
    tent = model.tent
    if tent is None or not model.walls:
        return
    yield (
        f"The tent keeps all rain and all but {share(tent.wind_share)} of the wind off the work, until gusts outside "
        f"pass {measures.wind(tent.rated_gust * tent.stops_at)}, {share(tent.stops_at)} of what it is rated for."
    )
    if tent.sides is not None:
        up = tent.stops_at if tent.sides.up_below is None else tent.sides.up_below
        yield (
            f"Its sides come down before gusts pass {measures.wind(tent.rated_gust * tent.sides.down_at)} "
            f"({share(tent.sides.down_at)} of what it is rated for), as if storms were foreseen, and go up again after "
            f"them: {minutes(tent.sides.time)} each time, by those who raise it and in their hours with gusts up to "
            f"{measures.wind(tent.rated_gust * up)}. Until they are up no work under the tent goes on and it is not "
            "heated. On print days that is the crew's work; at other times its hours are not counted as theirs."
        )
    if tent.heater is not None:
        paid = tent.heater.power and model.costs.fuel
        fuel = "Its fuel is in the cost." if paid else "Its fuel is not in the cost."
        yield (
            f"Its heater warms by at most {measures.warming(tent.heater.rise)}, up to "
            f"{measures.temperature(tent.heater.set_point)}, day and night while the tent stands over a building. "
            f"{fuel}"
        )


def _crews(model: ScenarioModel, plan: Plan) -> Iterator[str]:
    silent = [name for name, gang in model.crews.items() if gang.overtime is None and gang.rate > 0.0]
    if silent:
        yield f"Overtime costs {OVERTIME:g} times the usual rate where no other is given."
    alone = dict.fromkeys(
        node.task.name.replace("_", " ")
        for node in plan.nodes
        if node.task.kind == "work" and not node.task.needs and node.task.shares_fortune
    )
    if alone:
        yield f"Nobody of the crews is needed for {together(alone)}: it takes its time, any number may go on at once."
    unpaid_waiting = [name for name, gang in model.crews.items() if gang.rate > 0.0 and gang.waiting_rate == 0.0]
    if unpaid_waiting:
        yield f"Waiting is not paid for {together(unpaid_waiting)}: paid by the job, they bear their own idle time."
    if model.crews:
        yield (
            "A gang does one task at a time with all its people, and is there whenever its calendar says so. Whoever "
            "is wanted in several places goes to the earlier building first, there to the earlier task, then to who "
            "asked first; a print day, a lift or a pour goes on through a break, as overtime."
        )


def _inspections(model: ScenarioModel) -> Iterator[str]:
    layers = [point for wall in model.walls.values() for point in wall.points]
    points = [*model.inspections.points.values(), *layers]
    holds = [point for point in points if point.kind == "hold"]
    if holds:
        chances = [point.fails for point in holds]
        yield (
            f"Inspections are booked ahead for the expected day; a visit fails with a chance of {share(min(chances))} "
            f"to {share(max(chances))}, each time anew."
        )
        yield from _practice(model, holds)
    if any(point.kind == "hold" for point in layers):
        yield (
            "The visit to a layer at which printing is held is booked with the concrete of the day that is to reach "
            "it; printing goes on the next morning for which concrete can be had."
        )
    if any(inspector.moved_until is not None for inspector in model.inspections.inspectors.values()):
        yield "Whoever does the work knows in time to move a visit when it will be done; a moved visit costs no fee."
    if any(point.kind == "witness" for point in points):
        yield (
            "A witness is told by the look-ahead, in time for the notice, and comes as often as the point says if the "
            "work goes on in their hours, on a day with a visit to spare. Work never waits for them: what an "
            "unwitnessed point means is for the engineer to say."
        )


def _practice(model: ScenarioModel, holds: list[Point]) -> Iterator[str]:
    """Say how chances to fail fall with practice."""
    usual = model.inspections.learning
    rates = sorted({usual if point.learning is None else point.learning for point in holds if point.fails})
    if rates and rates[0] < 1.0:
        to = share(rates[0]) if rates[0] == rates[-1] else f"{share(rates[0])} to {share(rates[-1])}"
        yield (
            f"Each doubling of the times that a gang has done a task brings the chance that its visit fails to {to} "
            f"of what it was, and never below {share(model.inspections.floor)} of that at first; a second visit to the "
            "same work has the same chance."
        )
