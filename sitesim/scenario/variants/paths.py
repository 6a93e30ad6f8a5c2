"""Dotted paths of a scenario, in which ``*`` stands for every name: what the models know of them."""

from __future__ import annotations

from typing import Any

from sitesim.chance import Fixed
from sitesim.scenario.document import Trail
from sitesim.scenario.faults import nearest
from sitesim.scenario.keys import field_at, known_keys, names_are_free, places_are_counted
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.quantities import Quantity, wrong
from sitesim.scenario.spreads import Spread
from sitesim.scenario.variants.amounts import hours_of

_NO_LIMIT = 1e9


def unknown_in(path: str) -> str:
    """Say what of a path no scenario knows, or nothing."""
    return _followed(path)[1]


def most_at(trail: Trail) -> float:
    """Give the most that the number at a trail may be."""
    field = field_at(ScenarioModel, trail)
    bounds = [part.most for part in (field.metadata if field else ()) if isinstance(part, Quantity)]
    return min(bounds, default=_NO_LIMIT)


def added_hours(path: str, written: Any, day_hours: float) -> float:
    """Read the time [h] that is to be added to the duration at a path, in the units that this duration takes.

    Parameters: ``day_hours`` [h] of a working day. Raises PydanticCustomError for what cannot be added there.
    """
    trail, unknown = _followed(path)
    field = field_at(ScenarioModel, trail) if not unknown else None
    for reader in field.metadata if field is not None else ():
        if isinstance(reader, Spread) or (isinstance(reader, Quantity) and reader.unit == "h"):
            _refuse_spread(reader.read(written, {"day_hours": day_hours}))
            return hours_of(written, day_hours)
    raise wrong(f"{path} is not a length of time to add to")


def _refuse_spread(found: Any) -> None:
    if not isinstance(found, float | Fixed):
        raise wrong("what is added should be one value, such as 3 wd")


def _followed(path: str) -> tuple[Trail, str]:
    """Follow a path through the models; give a trail for it, and what is unknown of it."""
    trail: Trail = ()
    for part in path.split("."):
        if places_are_counted(ScenarioModel, trail) and (part == "*" or part.isdecimal()):
            trail = (*trail, 0 if part == "*" else int(part))
            continue
        known = known_keys(ScenarioModel, trail)
        if part not in known and not names_are_free(ScenarioModel, trail):
            return trail, f"{part} is not known here: {nearest(part, known)}"
        trail = (*trail, part)
    return trail, ""
