"""What nobody should forget on a site like this; none of it is modelled."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from sitesim.plan import Plan, UnitKind
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.planning.units import uses
from sitesim.scenario.telling.measures import each_once
from sitesim.scenario.telling.network import tell_loose_ends
from sitesim.scenario.telling.relocation import caution_about_moves
from sitesim.scenario.telling.storms import caution_about_storms
from sitesim.weather.record import WeatherRecord


def tell_cautions(model: ScenarioModel, plan: Plan, record: WeatherRecord | None) -> list[str]:
    """Give the cautions that go with what is played; the order of tasks, which its author can mend, first."""
    doubts = record.doubts if record is not None else ()
    first = [*tell_loose_ends(model), *doubts, *caution_about_moves(model, plan), *caution_about_storms(model, plan)]
    return each_once([*first, *_printing(model), *_lifting(model), *_finishing(model), *_always()])


def tell_weather_cautions(model: ScenarioModel, plan: Plan, record: WeatherRecord | None) -> list[str]:
    """Give the cautions that go with a look at the weather alone."""
    doubts = record.doubts if record is not None else ()
    return each_once([*doubts, *caution_about_storms(model, plan), *_lifting(model), *_always()])


def _printing(model: ScenarioModel) -> Iterator[str]:
    if not model.walls:
        return
    yield (
        "Fresh walls stay braced as the engineer says; nobody enters the zone around gantry and wall while it prints "
        "or moves."
    )
    yield "Relieve the pressure in the hose before anybody clears a blockage; the times here do not hurry that."
    yield "Cement burns skin and eyes, and its dust and cut concrete carry silica: the usual protection applies."
    yield "Props and bracing stay until the engineer releases them in writing; a date printed here releases nothing."
    yield (
        "Concrete past its working life is thrown away here; an exception is the producer's and the engineer's "
        "together. No water is added."
    )
    if any(wall.lintels for wall in model.walls.values()):
        yield "Lintels are lifted by the manufacturer's rated lift, with nobody under the hook, and stay propped."
    yield "Fresh concrete is protected from cold for as long as the specification asks, whatever the cure time here."
    yield "A cure time or maturity only says when to ask for specimens."
    yield from _raising(model)
    if model.tent is not None and model.tent.heater is not None:
        yield "Heaters in a tent bring fumes and fire: ventilation and a watch are not modelled."


def _raising(model: ScenarioModel) -> Iterator[str]:
    limits = model.weather.limits if model.weather is not None else {}
    for step, done in (("tent_up", "raised"), ("tent_down", "struck")):
        work = model.moving_tasks.get(step)
        if work is None or model.weather is None:
            continue
        of_step = limits.get(work.limits or "")
        if of_step is None or min(of_step.gust, of_step.wind) == inf:
            yield f"A tent is {done} in calm only: relocation.tasks.{step} has no limits on wind, and goes on in any."


def _lifting(model: ScenarioModel) -> Iterator[str]:
    if model.walls or any(uses(model, kind) for kind in (UnitKind.CRANE, UnitKind.TELEHANDLER)):
        yield (
            "Every lift has its plan and nobody is under the hook. Ask whether a wind limit means gusts or a mean, and "
            "where it is measured: the record here is that of a station."
        )


def _finishing(model: ScenarioModel) -> Iterator[str]:
    if any("foam" in name for name in model.finishing_tasks):
        yield (
            "After spray foam a home stays shut until the installer's re-entry time is over, even if a lag here is "
            "shorter."
        )


def _always() -> Iterator[str]:
    yield (
        "All limits and times here defer to the engineer of record, the manufacturers, the local code and the licensed "
        "trades. Dates are chances, not guarantees."
    )
