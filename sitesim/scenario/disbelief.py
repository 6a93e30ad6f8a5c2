"""Numbers of a scenario that nobody would believe, or that are unusual, and what may have been meant."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, NamedTuple, get_args

from pydantic import BaseModel

from sitesim.chance import Distribution
from sitesim.scenario.believed import BELIEVED, MIXED_UP_WITH, Believed
from sitesim.scenario.document import Document, Trail
from sitesim.scenario.quantities import Quantity, column_conversion, number_and_unit

_ALMOST_MOST = 0.9
"""The quantile of a spread that is held against what is believed."""


class Disbelief(NamedTuple):
    """A number at a trail: what to say of it, and whether it is refused or only unusual."""

    trail: Trail
    message: str
    refused: bool


def disbelieved(model: BaseModel, document: Document, hours_of_a_day: float) -> Iterator[Disbelief]:
    """Give the written numbers that are not believed or unusual, each once, wherever it is taken over.

    Parameters: ``hours_of_a_day`` [h], those of a working day (wd).
    """
    said = set()
    for trail, key, unit, value in _numbers(model, ()):
        believed = BELIEVED[key]
        scale = _scale(believed.unit, unit, hours_of_a_day)
        found = (value - scale.offset) / scale.factor
        if found == 0.0 or believed.usual_least <= found <= believed.usual_most:
            continue
        refused = not believed.least <= found <= believed.most
        message = _told(document, trail, believed, unit, found, hours_of_a_day)
        if (document.place(trail), message) not in said:
            said.add((document.place(trail), message))
            yield Disbelief(trail, message, refused)


def doubts_in_words(model: BaseModel, document: Document, hours_of_a_day: float) -> tuple[str, ...]:
    """Say of each unusual number where it stands; parameters as for `disbelieved`."""
    return tuple(
        f"{document.fault(trail, message)}{'' if message.endswith('?') else '.'} Leave it if it is right."
        for trail, message, refused in disbelieved(model, document, hours_of_a_day)
        if not refused
    )


def key_of(section: type[BaseModel], name: str) -> str | None:
    """Give the key under which a section's field stands in `BELIEVED`, its own or that of what it is a kind of."""
    named = (f"{kind.__name__}.{name}" for kind in section.__mro__)
    return next((key for key in named if key in BELIEVED), None)


def _numbers(value: Any, trail: Trail) -> Iterator[tuple[Trail, str, str, float]]:
    """Walk through what is written, and give each number with its key, its trail and its unit in the model."""
    if isinstance(value, BaseModel):
        for name in type(value).model_fields:
            if name in value.model_fields_set:
                inner, key = getattr(value, name), key_of(type(value), name)
                if key is None:
                    yield from _numbers(inner, (*trail, name))
                else:
                    yield from _numbers_at(inner, (*trail, name), key, _unit_of(type(value), name))
    elif isinstance(value, Mapping):
        for name, inner in value.items():
            yield from _numbers(inner, (*trail, name))
    elif hasattr(value, "_fields"):  # what a task waits for, with its lag
        yield from _numbers_at(getattr(value, "lag", None), trail, "After.lag", "h")
    elif isinstance(value, tuple):
        for place, inner in enumerate(value):
            yield from _numbers(inner, (*trail, place))


def _numbers_at(value: Any, trail: Trail, key: str, unit: str) -> Iterator[tuple[Trail, str, str, float]]:
    if isinstance(value, Distribution):
        yield trail, key, unit, float(value.inverse(_ALMOST_MOST))
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield trail, key, unit, float(value)
    elif isinstance(value, tuple):  # a place: east and north
        for inner in value:
            yield trail, key, unit, abs(float(inner))


class _Scale(NamedTuple):
    factor: float
    offset: float


def _scale(unit: str, target: str, hours_of_a_day: float) -> _Scale:
    """Give how a number in one unit becomes one in another."""
    if unit == target:
        return _Scale(1.0, 0.0)
    if unit == "wd":
        return _Scale(hours_of_a_day, 0.0)
    conversion = column_conversion(unit, target)
    assert not isinstance(conversion, str), conversion
    return _Scale(*conversion)


@cache
def _unit_of(section: type[BaseModel], name: str) -> str:
    """Give the unit of the model's number: that of its quantity, or hours."""
    field = section.model_fields[name]
    quantity = next(_quantities(field.annotation, tuple(field.metadata)), None)
    if quantity is not None:
        return quantity.unit
    key = key_of(section, name)
    return "" if key is not None and not BELIEVED[key].unit else "h"


def _quantities(annotation: Any, metadata: tuple[Any, ...]) -> Iterator[Quantity]:
    yield from (part for part in metadata if isinstance(part, Quantity))
    for part in get_args(annotation):
        yield from (
            _quantities(part, getattr(part, "__metadata__", ())) if not isinstance(part, Quantity) else iter((part,))
        )


def _told(document: Document, trail: Trail, believed: Believed, unit: str, found: float, hours_of_a_day: float) -> str:
    written = _written(document, trail)
    own = (number_and_unit(written) or (0.0, ""))[1]
    shown, factor, offset = believed.unit, 1.0, 0.0
    if own and believed.unit in _SHOWN_AS_WRITTEN and own != believed.unit:
        factor, offset = _scale(believed.unit, own, hours_of_a_day)
        shown = own

    def named(*bounds: float) -> str:
        told = " to ".join(_rounded(bound * factor + offset) for bound in bounds)
        return f"{told} {shown.removeprefix('delta_')}" if shown else told

    usually = f"it is usually {named(believed.usual_least, believed.usual_most)}"
    meant = _meant(written, believed, unit, hours_of_a_day)
    question = f"; is it {meant}?" if meant else ""
    if believed.least <= found <= believed.most:
        return f"{written or 'this'} is unusual: {usually}{question}"
    bound = f"less than {named(believed.least)}" if found < believed.least else f"more than {named(believed.most)}"
    return f"{written or 'this'} is not believed: {usually}, never {bound}{question}"


def _rounded(value: float) -> str:
    """Write a bound to three figures, without an exponent."""
    return f"{float(f'{value:.3g}'):,.10g}"


_SHOWN_AS_WRITTEN = ("m/s", "m", "m^3", "kg", "kg/m^3", "degC", "mm/h", "kW", "kPa")
"""Units of `BELIEVED` whose bounds are told in the unit in which the number is written."""


_LARGEST = ("p90", "high")
"""The keys of the largest part of a spread."""


def _written(document: Document, trail: Trail) -> str:
    """Give the number as it is written: there, around it, or, of a spread, its largest part, however its keys stand."""
    for length in range(len(trail), 0, -1):
        value = document.get(trail[:length])
        if value is None:
            continue
        inner = trail[length] if length < len(trail) else ""
        if isinstance(value, list) and inner == "low":
            value = value[0]
        if isinstance(value, dict):
            value = next((value[largest] for largest in _LARGEST if largest in value), list(value.values()))
        parts = value if isinstance(value, list) else [value]
        plain = [str(part) for part in parts if isinstance(part, str | int | float)]
        return plain[-1] if plain else ""
    return ""


def _meant(written: str, believed: Believed, unit: str, hours_of_a_day: float) -> str:
    """Give the same number in a unit in which it would be usual, or nothing."""
    number, own = number_and_unit(written.rsplit("+", 1)[-1]) or (0.0, "")
    back = _scale(believed.unit, unit, hours_of_a_day)
    for other in MIXED_UP_WITH.get(believed.unit, ()):
        into = _scale(other, unit, hours_of_a_day)
        found = (number * into.factor + into.offset - back.offset) / back.factor
        if other != own and believed.usual_least <= found <= believed.usual_most:
            return f"{number:g} {other}"
    return ""
