"""Which trades may share a home, said back in words."""

from __future__ import annotations

from collections.abc import Iterator

from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.planning.sharing import make_sharing
from sitesim.scenario.telling.measures import share, together


def tell_sharing(model: ScenarioModel) -> Iterator[str]:
    """Say who keeps whom out of a home, and who slows whom there."""
    finishing = model.finishing
    if finishing is None:
        return
    alone = [name for name, task in finishing.tasks.items() if task.alone]
    if alone:
        yield f"During {_named(alone)} nobody else works in the home."
    for names in finishing.apart:
        yield f"Never in one home at the same time: {_named(names)}."
    for crowd, place in ((finishing.crowding.home, "home"), (finishing.crowding.building, "building")):
        if crowd is not None:
            gangs = "the first" if crowd.above == 1 else f"{crowd.above}"
            yield f"Crowding: each gang above {gangs} in a {place} makes what is begun take {share(crowd.each)} longer."


def assume_sharing(model: ScenarioModel) -> Iterator[str]:
    """Say what is assumed of trades in one home."""
    sharing = make_sharing(model)
    if sharing is None:
        return
    if sharing.alone or sharing.apart:
        yield (
            "A home is taken while work goes on in it, and free again when that ends: drying and re-entry are lags. "
            "Who must wait for a home waits for a crew, keeps nobody out meanwhile, and may be passed."
        )
    if sharing.in_home is not None or sharing.in_building is not None:
        yield (
            "How much a crowd slows work is fixed when the work begins, by who is there then; those at work keep their "
            "pace. The factor is an assumption (common practice, no source)."
        )
    if any(task.per == "building" and task.crew and not task.outside for task in model.finishing_tasks.values()):
        yield "Work for a whole building occupies all its homes, unless it is said to be outside."


def _named(names: tuple[str, ...] | list[str]) -> str:
    return together(name.replace("_", " ") for name in names)
