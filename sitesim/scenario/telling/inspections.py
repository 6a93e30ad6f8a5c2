"""Inspections: to what inspectors are called, and what is assumed of their visits."""

from __future__ import annotations

from collections.abc import Iterator

from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.sections.inspections import Point
from sitesim.scenario.telling.measures import several, share, together, working_days


def tell_inspections(model: ScenarioModel) -> Iterator[str]:
    """Say to what each inspector is called, and at what notice."""
    for name, inspector in model.inspections.inspectors.items():
        called = [*_after_tasks(model, name), *_at_layers(model, name)]
        if called:
            moved = (
                ""
                if inspector.moved_until is None
                else (f"; a visit can be moved up to {inspector.moved_until:g} h before it, in their hours")
            )
            yield (
                f"Inspector {name}: {'; '.join(called)}; notice "
                f"{working_days(inspector.notice, model.day_hours)}, "
                f"{several(inspector.visits_a_day, 'visit')} a day at most{moved}."
            )


def _after_tasks(model: ScenarioModel, inspector: str) -> Iterator[str]:
    """Say for which tasks an inspector is called."""
    for kind, said in (("hold", "after"), ("witness", "as a witness of")):
        points = model.inspections.points.items()
        tasks = [task for task, point in points if point.by == inspector and point.kind == kind]
        if tasks:
            yield f"{said} {together(task.replace('_', ' ') for task in tasks)}"


def _at_layers(model: ScenarioModel, inspector: str) -> Iterator[str]:
    """Say to which layers of printed walls an inspector is called, alike walls once."""
    for kind, said in (("hold", "holds printing"), ("witness", "is invited to witness")):
        at = dict.fromkeys(
            f"layer {point.layer} ({point.name})"
            for wall in model.walls.values()
            for point in wall.points
            if point.by == inspector and point.kind == kind
        )
        if at:
            yield f"{said} at {together(at)}" if kind == "hold" else f"{said} {together(at)}"


def assume_inspections(model: ScenarioModel) -> Iterator[str]:
    """Say what is assumed of visits, and of what becomes of them."""
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
