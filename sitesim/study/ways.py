"""The ways of supply that are tried: loads × spacings × trucks, laid over a scenario as its own values."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace

from sitesim.answers.deliveries import Way
from sitesim.errors import UserError
from sitesim.plan import Plan, ReadyMix, printing_only
from sitesim.scenario import Scenario, ScenarioError, load_variants
from sitesim.scenario.sections.supply import ReadyMixSupply

_YARD = 0.9144
_STEPS_AROUND = (-2, -1, 0, 1, 2)
"""Loads that are tried, in steps of the plant around the scenario's own."""
_SPACINGS_AROUND = (0.55, 0.67, 0.78, 0.89, 1.0, 1.11, 1.22, 1.33, 1.44, 1.55)
"""Spacings that are tried, as shares of the scenario's own, rounded to five minutes."""
_MOST = 400
_NAMED = 3
"""How many ways are named that fail for one reason."""


@dataclass(frozen=True, slots=True)
class Grid:
    """What is tried, in the user's own words; what is empty is made around the scenario's own values.

    Parameters: ``loads`` such as ``2.5 yd^3``, ``spacings`` such as ``120 min``; ``trucks``.
    """

    loads: tuple[str, ...] = ()
    spacings: tuple[str, ...] = ()
    trucks: tuple[int, ...] = ()

    @classmethod
    def read(cls, loads: Sequence[str], spacings: Sequence[str], trucks: Sequence[str]) -> Grid:
        """Read options that may be given again and may be lists, ``2, 2.5, 3 yd^3``.

        Raises UserError for trucks that are not whole numbers.
        """
        return cls(_listed(loads), _listed(spacings), tuple(_count(one) for one in _listed(trucks)))


@dataclass(frozen=True, slots=True)
class Impossible:
    """A way that cannot be, in words, and why."""

    load: str
    spacing: str
    trucks: int
    reason: str


@dataclass(frozen=True, slots=True)
class Ways:
    """The ways that can be played, a plan of the print days for each, and those that cannot be."""

    ways: tuple[Way, ...]
    plans: tuple[Plan, ...]
    impossible: tuple[Impossible, ...]


def ways_of(scenario: Scenario, sets: Sequence[str], grid: Grid, needs_one: bool = True) -> Ways:
    """Lay each combination over a ready-mix scenario and make its plan.

    Raises UserError if there are too many, or if none can be played and ``needs_one``.
    """
    combinations = list(itertools.product(grid.loads, grid.spacings, grid.trucks))
    if len(combinations) > _MOST:
        raise UserError(f"deliveries: {len(combinations)} combinations are too many; name {_MOST} at most")
    variants = load_variants(scenario.path, sets, [_as_settings(*each) for each in combinations])
    base = printing_only(scenario.plan())
    made: dict[Way, Plan] = {}
    impossible = []
    for each, variant in zip(combinations, variants, strict=True):
        if isinstance(variant, ScenarioError):
            impossible.append(Impossible(*each, "; ".join(fault.message for fault in variant.faults)))
        else:
            made.setdefault(way_of(variant), replace(base, supply=variant.plan().supply))
    if needs_one and not made:
        raise none_can_be_played(impossible)
    return Ways(tuple(made), tuple(made.values()), tuple(impossible))


def none_can_be_played(impossible: Sequence[Impossible]) -> UserError:
    """Make the error that tells why none of the combinations can be."""
    named: dict[str, list[str]] = {}
    for one in impossible:
        named.setdefault(one.reason, []).append(", ".join(part for part in (one.load, one.spacing) if part))
    reasons = "\n".join(sorted(f"{_few(ways)}: {reason}" for reason, ways in named.items()))
    return UserError(f"deliveries: none of the combinations can be played\n{reasons}")


def _few(ways: Sequence[str]) -> str:
    """Name a few of the ways that fail for one reason, and count the others."""
    different = list(dict.fromkeys(ways))
    more = len(different) - _NAMED
    return "; ".join(different[:_NAMED]) + (f"; and {more} more" if more > 0 else "")


def _as_settings(load: str, spacing: str, trucks: int) -> tuple[str, ...]:
    settings = f"supply.load={load}", f"supply.trucks={trucks}"
    return (*settings, f"supply.spacing={spacing}") if spacing else settings


def way_of(scenario: Scenario) -> Way:
    """Give the load [m³], the spacing [h] and the trucks of a ready-mix scenario."""
    supply = _supply_of(scenario)
    return Way(supply.load, supply.spacing if has_spacing(scenario) and supply.spacing else 0.0, supply.trucks)


def has_spacing(scenario: Scenario) -> bool:
    """Tell whether the loads of a ready-mix scenario come at a fixed spacing, and not when they are called for."""
    return ordering_of(scenario) == "fixed"


def ordering_of(scenario: Scenario) -> str:
    """Give the mode in which a ready-mix scenario orders its loads."""
    return _supply_of(scenario).ordering


def is_ready_mix(scenario: Scenario) -> bool:
    """Tell whether the concrete of a scenario comes by truck.

    Raises UserError if nothing is printed.
    """
    supply = scenario.plan().supply
    if supply is None:
        raise UserError(f"{scenario.name}: nothing is printed here, so there is no concrete to be delivered")
    return isinstance(supply, ReadyMix)


def filled(grid: Grid, scenario: Scenario) -> Grid:
    """Fill what the user left empty with values around the scenario's own.

    Raises UserError for spacings where loads do not come at a fixed one.
    """
    if grid.spacings and not has_spacing(scenario):
        raise UserError(
            f"--spacing: {scenario.name} orders by {ordering_of(scenario)}, which has no spacing; "
            "leave it out, or add --set supply.ordering=fixed"
        )
    own = way_of(scenario)
    steps = round(own.load / _supply_of(scenario).step)
    spacings = _spacings([60.0 * own.spacing * share for share in _SPACINGS_AROUND]) if own.spacing else ("",)
    return Grid(
        grid.loads or _loads(scenario, [steps + more for more in _STEPS_AROUND]),
        grid.spacings or spacings,
        grid.trucks or (own.trucks,),
    )


def beyond(scenario: Scenario, asked: Grid, ways: Sequence[Way], best: Way, tried: Grid) -> Grid | None:
    """Give what lies just beyond an edge on which the best lies; None if it lies inside, or the user named the values.

    Parameters: ``asked``, what the user named; ``tried``, all that has been tried already.
    """
    if not asked.loads:
        steps = round(best.load / _supply_of(scenario).step)
        further = _edge(best.load, [way.load for way in ways], steps - 1, steps + 1)
        loads = tuple(load for load in _loads(scenario, further) if load not in tried.loads)
        if loads:
            return replace(tried, loads=loads)
    if not asked.spacings and best.spacing:
        minutes = 60.0 * best.spacing
        nearer = _edge(best.spacing, [way.spacing for way in ways], minutes / 1.2, minutes * 1.2)
        spacings = tuple(spacing for spacing in _spacings(nearer) if spacing not in tried.spacings)
        if spacings:
            return replace(tried, spacings=spacings)
    return None


def _edge(best: float, tried: Sequence[float], below: float, above: float) -> list[float]:
    """Give the value beyond the edge on which the best lies, if it lies on one."""
    return [below] if best == min(tried) else [above] if best == max(tried) else []


def _supply_of(scenario: Scenario) -> ReadyMixSupply:
    supply = scenario.model.supply
    assert isinstance(supply, ReadyMixSupply)
    return supply


def _loads(scenario: Scenario, steps: Sequence[float]) -> tuple[str, ...]:
    """Write loads of whole steps, as far as the plant sells and a truck carries them."""
    supply = _supply_of(scenario)
    volumes = [one * supply.step for one in steps]
    smallest = max(supply.least, supply.step)
    return tuple(
        _written_volume(volume, scenario.units)
        for volume in volumes
        if smallest <= volume * (1.0 + 1e-6) and volume <= supply.capacity * (1.0 + 1e-6)
    )


def _spacings(minutes: Sequence[float]) -> tuple[str, ...]:
    return tuple(f"{one} min" for one in sorted({5 * max(1, round(each / 5.0)) for each in minutes}))


def _written_volume(volume: float, units: str) -> str:
    return f"{volume / _YARD**3:g} yd^3" if units == "us" else f"{volume:g} m^3"


def _listed(values: Sequence[str]) -> tuple[str, ...]:
    """Take lists apart; a number without a unit has that of the last one in its list."""
    found: list[str] = []
    for value in values:
        parts = [part.strip() for part in value.split(",") if part.strip()]
        unit = parts[-1].lstrip("0123456789. ") if parts else ""
        found += [part if part.lstrip("0123456789. ") else f"{part} {unit}".strip() for part in parts]
    return tuple(dict.fromkeys(found))


def _count(text: str) -> int:
    if not text.isdecimal() or int(text) < 1:
        raise UserError(f"--trucks {text}: not a number of trucks; write 2, or 2,3")
    return int(text)
