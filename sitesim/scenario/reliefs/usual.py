"""The reliefs that a scenario itself suggests: one more of each thing that it names, and a little more of the rest."""

from __future__ import annotations

from collections.abc import Iterator

from sitesim.chance import Distribution
from sitesim.plan import Cause, UnitKind, WaitedFor
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.planning.units import uses
from sitesim.scenario.reliefs.kinds import SATURDAY, NewFactors, NewValues, Relieving, SaturdaysToo, Shorter
from sitesim.scenario.reliefs.relief import ORDINALS, USUAL, Relief, with_article
from sitesim.scenario.scenario import Scenario
from sitesim.scenario.sections.supply import ReadyMixSupply

_LESS_SPACING = 1.0
"""Hours taken off the spacing of loads."""
_LEAST_SPACING = 0.25
"""Hours below which loads are not brought nearer to each other."""
_SOONER = 5.0
"""Working days by which a delivery comes sooner: a week."""
_FASTER = 1.1
_HALF = 0.5


def usual_reliefs(scenario: Scenario) -> tuple[Relief, ...]:
    """Give the reliefs that a scenario suggests, one thing at a time."""
    model = scenario.model
    return (
        *_gangs(model),
        *_machines(model),
        *_lifting_machines(model),
        *_loads(model),
        *_faster_printing(model),
        *_saturdays(model),
        *_inspectors(model),
        *_deliveries(model),
    )


def _relief(
    name: str,
    *changes: Relieving,
    more: tuple[str, ...] = (),
    relieves: tuple[WaitedFor, ...] = (),
    unpriced: tuple[str, ...] = (),
) -> Relief:
    return Relief(_capital(name), tuple((change, USUAL) for change in changes), more, relieves, unpriced)


def _capital(name: str) -> str:
    return f"{name[:1].upper()}{name[1:]}"


def another(count: int | dict[str, int]) -> str:
    """Say which one it is that comes to so many: the second after one; of those counted by front it is one more."""
    if isinstance(count, dict) or count > len(ORDINALS):
        return "one more"
    return ORDINALS[count - 1]


def gang_called(name: str) -> str:
    """Call a gang by its name in words."""
    words = name.replace("_", " ")
    return words if words.endswith(("gang", "crew")) else f"{words} gang"


def _gangs(model: ScenarioModel) -> Iterator[Relief]:
    for name, gang in model.crews.items():
        yield _relief(
            f"{another(gang.count)} {gang_called(name)}",
            _one_more(f"crews.{name}.count", gang.count),
            more=(name,),
            relieves=(WaitedFor(Cause.CREW.value, name),),
            unpriced=_unpriced_gang(model, name),
        )


def _one_more(path: str, count: int | dict[str, int], more: int = 1) -> NewValues:
    """Give one or so many ``more`` of a thing, on each front where it is counted by front."""
    if isinstance(count, dict):
        return NewValues({f"{path}.{front}": each + more for front, each in count.items()})
    return NewValues({path: count + more})


def _unpriced_gang(model: ScenarioModel, name: str) -> tuple[str, ...]:
    gang = model.crews[name]
    return () if gang.rate or gang.day else (f"the hours of the {gang_called(name)}, which has no rate",)


def _machines(model: ScenarioModel) -> Iterator[Relief]:
    """Give one more tent, one more printer by itself, with those who run it, and with a tent besides.

    With fronts it is one more on each of them, and a gang more for each.
    """
    printer, tent, fronts = model.printer, model.tent, len(model.site.fronts)
    if not model.walls or printer is None or tent is None:
        return
    crews = _those_who_print(model)
    gangs = " and ".join(_more_gangs(name, model.crews[name].count, max(1, fronts)) for name in crews)
    one_tent, one_printer = _one_more("tent.count", tent.count), _one_more("printer.count", printer.count)
    one_crew = tuple(_one_more(f"crews.{name}.count", model.crews[name].count, max(1, fronts)) for name in crews)
    for_tent = WaitedFor(Cause.TENT.value)
    waited = (WaitedFor(Cause.PRINTER.value), *(WaitedFor(Cause.CREW.value, name) for name in crews))
    free_tent = () if model.costs.tent_day else ("the hire of a tent, which has no rate (costs.tent_day)",)
    free_printer = () if model.costs.printer_day else ("the hire of a printer, which has no rate (costs.printer_day)",)
    free_crew = tuple(line for name in crews for line in _unpriced_gang(model, name))
    if fronts:
        tents, printers = "one more tent on each front", "one more printer on each front"
        both = "one more printer and tent on each front with "
    else:
        tents, printers = f"{another(tent.count)} tent", f"{another(printer.count)} printer"
        both = f"{printers} with {with_article(tents)} and "
    yield _relief(tents, one_tent, more=("tent",), relieves=(for_tent,), unpriced=free_tent)
    yield _relief(printers, one_printer, more=("printer",), relieves=waited[:1], unpriced=free_printer)
    yield _relief(
        f"{printers} with {gangs}",
        one_printer,
        *one_crew,
        more=("printer", *crews),
        relieves=waited,
        unpriced=(*free_printer, *free_crew),
    )
    yield _relief(
        f"{both}{gangs}",
        one_printer,
        one_tent,
        *one_crew,
        more=("printer", "tent", *crews),
        relieves=(*waited, for_tent),
        unpriced=(*free_printer, *free_tent, *free_crew),
    )


def _more_gangs(name: str, count: int, more: int) -> str:
    """Call so many more of a gang, within a sentence."""
    return with_article(f"{another(count)} {gang_called(name)}") if more == 1 else f"{more} more {gang_called(name)}s"


def _those_who_print(model: ScenarioModel) -> tuple[str, ...]:
    """Name the first gang that can print, and the first that carries on after it."""
    assert model.printer is not None
    skills = [skill for skill in (model.printer.crew, model.printer.second_crew) if skill is not None]
    first = [next(name for name, gang in model.crews.items() if skill in (gang.skills or (name,))) for skill in skills]
    return tuple(dict.fromkeys(first))


def _lifting_machines(model: ScenarioModel) -> Iterator[Relief]:
    """Give one more crane, and one more telehandler, where they lift."""
    crane_hire = "the hire of a crane, which has no rate (crane.rate, crane.day, costs.crane_call)"
    telehandler_hire = "the hire of a telehandler, which has no rate (telehandler.rate, telehandler.day)"
    for kind, cause, machine, free, hire in (
        (UnitKind.CRANE, Cause.CRANE, model.crane, not model.costs.crane_call, crane_hire),
        (UnitKind.TELEHANDLER, Cause.TELEHANDLER, model.telehandler, True, telehandler_hire),
    ):
        if uses(model, kind):
            yield _relief(
                f"{another(machine.count)} {kind}",
                _one_more(f"{kind}.count", machine.count),
                more=(kind.value,),
                relieves=(WaitedFor(cause.value),),
                unpriced=(hire,) if free and not (machine.rate or machine.day) else (),
            )


def _loads(model: ScenarioModel) -> Iterator[Relief]:
    """Give one more truck, and loads nearer to each other, where the concrete comes by truck."""
    supply = model.supply
    if not model.walls or not isinstance(supply, ReadyMixSupply):
        return
    concrete = (WaitedFor(Cause.CONCRETE.value),)
    yield _relief(
        f"{another(supply.trucks)} truck",
        _one_more("supply.trucks", supply.trucks),
        relieves=concrete,
        unpriced=("what the plant asks for one more truck",),
    )
    if supply.ordering == "fixed" and supply.spacing and supply.spacing - _LESS_SPACING >= _LEAST_SPACING:
        minutes = f"{60.0 * (supply.spacing - _LESS_SPACING):.12g} min"
        nearer = NewValues({"supply.spacing": minutes})
        yield _relief("loads an hour nearer to each other", nearer, relieves=concrete)


def _faster_printing(model: ScenarioModel) -> Iterator[Relief]:
    if model.walls and model.printer is not None:
        yield _relief(
            "printing a tenth faster",
            NewFactors({"printer.speed": _FASTER}),
            relieves=(WaitedFor(Cause.PRINTER.value),),
            unpriced=("what faster printing takes in mix, pump and wear",),
        )


def _saturdays(model: ScenarioModel) -> Iterator[Relief]:
    """Give Saturdays for each gang that has none, and for all of them."""
    free = [name for name, gang in model.crews.items() if SATURDAY not in model.calendars[gang.calendar].days]
    for name in free:
        yield _relief(
            f"Saturdays for the {gang_called(name)}",
            SaturdaysToo((name,)),
            unpriced=("keeping the site open on Saturdays for one trade", *_unpriced_gang(model, name)),
        )
    if len(free) > 1:
        yield _relief("Saturdays for every gang", SaturdaysToo(tuple(free), site=True))


def _inspectors(model: ScenarioModel) -> Iterator[Relief]:
    """Give inspectors who come in half the notice, and who have time for one more visit a day."""
    called = {point.by for point in model.inspections.points.values()}
    for name, inspector in model.inspections.inspectors.items():
        if name not in called:
            continue
        who, path = f"the {name.replace('_', ' ')} inspector", f"inspections.inspectors.{name}"
        relieved = (WaitedFor(Cause.INSPECTION.value, name),)
        unpriced = (f"what it takes to have {who} come so",)
        if _takes_time(inspector.notice):
            half = NewFactors({f"{path}.notice": _HALF})
            yield _relief(f"half the notice of {who}", half, relieves=relieved, unpriced=unpriced)
        more = _one_more(f"{path}.visits_a_day", inspector.visits_a_day)
        yield _relief(f"one more visit a day of {who}", more, relieves=relieved, unpriced=unpriced)


def _takes_time(duration: Distribution) -> bool:
    return duration.mean > 0.0


def _deliveries(model: ScenarioModel) -> Iterator[Relief]:
    for name, task in model.finishing_tasks.items():
        if task.delivery is not None and _takes_time(task.delivery.lead):
            called = task.delivery.name or f"{name} delivery"
            yield _relief(
                f"the {called.replace('_', ' ')} a week sooner",
                Shorter(f"finishing.tasks.{name}.delivery.lead", _SOONER),
                relieves=(WaitedFor(Cause.MATERIAL.value, called),),
                unpriced=(f"what it takes to have the {called.replace('_', ' ')} sooner",),
            )
