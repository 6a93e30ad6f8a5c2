"""What the model assumes with the numbers of a scenario, in plain sentences."""

from __future__ import annotations

from collections.abc import Iterator

from sitesim.plan import Law, Plan
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.sections.crews import OVERTIME
from sitesim.scenario.telling.flow import assume_flow
from sitesim.scenario.telling.inspections import assume_inspections
from sitesim.scenario.telling.measures import Measures, each_once, minutes, share, together
from sitesim.scenario.telling.money import assume_money
from sitesim.scenario.telling.printing import assume_printing
from sitesim.scenario.telling.relocation import assume_relocation
from sitesim.scenario.telling.sharing import assume_sharing
from sitesim.scenario.telling.weather import assume_weather
from sitesim.weather.record import WeatherRecord


def tell_assumptions(model: ScenarioModel, plan: Plan, record: WeatherRecord | None) -> list[str]:
    """Say what is assumed, a sentence or two for each thing."""
    measures = Measures(model.units == "us")
    return each_once(
        [
            *_durations(model),
            *assume_weather(model, record),
            *assume_printing(model, plan, measures),
            *_pours(plan),
            *_ripening(plan),
            *_tent(model, measures),
            *assume_relocation(model, plan),
            *_crews(model, plan),
            *assume_flow(model),
            *assume_sharing(model),
            *assume_inspections(model),
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
