"""Durations with their spread, as people write them, into distributions of hours."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from sitesim.chance import Distribution, Fixed, Lognormal, Observed, Pert, Triangular
from sitesim.hours import on_clock
from sitesim.scenario.quantities import Quantity, number_and_unit, wrong

_WRITTEN_AS = (
    "a fixed time, [low, likely, high], {p10:, p90:}, {p50:, p90:}, "
    "{kind: triangular, low:, likely:, high:} or {observed: values.csv}"
)
_DAYS = re.compile(r"(d|days?|w|wk|weeks?|months?|years?)")

_SOME_TIME = 0.01
_HOURS = Quantity("h", "45 min", "length of time", least=0.0)


@dataclass(frozen=True, slots=True)
class Spread:
    """Reads a duration with its spread; used as metadata of an annotated distribution.

    Parameters: ``example``, how a user may write it; ``working``, whether it counts hours of work, so that a bare
    number is working days (wd) and a calendar day is refused; ``elapsed``, whether it runs on through nights, so that
    a working day is refused; ``some``, whether no time at all is refused.
    """

    example: str
    working: bool = False
    elapsed: bool = False
    some: bool = False

    def read(self, value: Any, context: Any = None) -> Distribution:
        """Give the distribution of hours; raises PydanticCustomError for anything that is not a duration."""

        def hours(part: Any) -> float:
            return self._hours(part, context)

        distribution = self._distribution(value, hours)
        if self.some and distribution.mean < _SOME_TIME:
            raise wrong(f"{value} is too little, it should be at least {_SOME_TIME:g} h, like {self.example}")
        return distribution

    def _distribution(self, value: Any, hours: Callable[[Any], float]) -> Distribution:
        if isinstance(value, list):
            return _three_points(value, hours, Pert)
        if isinstance(value, dict):
            return self._named(value, hours)
        return Fixed(on_clock(hours(value)))

    def _hours(self, part: Any, context: Any) -> float:
        if self.working and isinstance(part, int | float) and not isinstance(part, bool):
            part = f"{part} wd"
        if isinstance(part, str) and (split := number_and_unit(part)):
            if self.working and _DAYS.fullmatch(split[1]):
                raise wrong(f"{part} would be {_HOURS.read(part):g} hours of work; write working days: {split[0]:g} wd")
            if self.elapsed and split[1] == "wd":
                raise wrong(f"{part} is working time, but this runs on day and night; write it like {self.example}")
        try:
            return _HOURS.read(part, context)
        except PydanticCustomError as error:
            raise wrong(error.message().replace(_HOURS.example, self.example)) from None

    def _named(self, value: dict[str, Any], hours: Callable[[Any], float]) -> Distribution:
        keys = set(value)
        if keys == {"p10", "p90"}:
            return _rising(value, "p10", Lognormal.by_p10_p90, hours)
        if keys == {"p50", "p90"}:
            return _rising(value, "p50", Lognormal.by_p50_p90, hours)
        if keys in ({"low", "likely", "high"}, {"low", "likely", "high", "kind"}):
            shapes: dict[str, type[Pert] | type[Triangular]] = {"triangular": Triangular, "pert": Pert}
            kind = str(value.get("kind", "pert"))
            if kind not in shapes:
                raise wrong(f"{kind} is not a kind of spread known here; known are triangular, pert")
            return _three_points([value["low"], value["likely"], value["high"]], hours, shapes[kind])
        if keys in ({"observed"}, {"observed", "unit"}):
            return _observed(value["observed"], str(value.get("unit", "")), hours)
        raise wrong(f"{{{', '.join(value)}}} is not a duration; write {_WRITTEN_AS}")

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(lambda value, info: self.read(value, info.context))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {"type": ["string", "number", "array", "object"], "description": f"Write {_WRITTEN_AS}."}


def _three_points(
    value: list[Any], hours: Callable[[Any], float], shape: type[Pert] | type[Triangular]
) -> Distribution:
    if len(value) != 3:
        raise wrong(f"should be three values, [low, likely, high], and not {len(value)}")
    low, likely, high = (hours(part) for part in value)
    if low > likely:
        raise wrong(f"low {value[0]} is more than likely {value[1]}; they should rise")
    if likely > high:
        raise wrong(f"likely {value[1]} is more than high {value[2]}; they should rise")
    return Fixed(on_clock(low)) if low == high else shape(low, likely, high)


def _rising(
    value: dict[str, Any],
    lower: str,
    shape: Callable[[float, float], Lognormal],
    hours: Callable[[Any], float],
) -> Lognormal:
    low, high = hours(value[lower]), hours(value["p90"])
    if low <= 0.0:
        raise wrong(f"{lower} {value[lower]} should be more than 0")
    if low >= high:
        raise wrong(f"{lower} {value[lower]} is not less than p90 {value['p90']}")
    return shape(low, high)


def _observed(values: Any, unit: str, hours: Callable[[Any], float]) -> Observed:
    if isinstance(values, str):
        return Observed(tuple(_from_file(Path(values), unit, hours)))
    if not isinstance(values, list) or not values:
        raise wrong("observed should be a list of times or the name of a file with one a line")
    return Observed(tuple(hours(_with_unit(value, unit)) for value in values))


def _from_file(path: Path, unit: str, hours: Callable[[Any], float]) -> list[float]:
    if not path.is_file():
        raise wrong(f"there is no file {path.name}")
    try:
        lines = path.read_text(encoding="utf-8-sig").splitlines()
    except (OSError, UnicodeDecodeError):
        raise wrong(f"{path.name} cannot be read as text") from None
    found = []
    for number, line in enumerate(lines, start=1):
        text = line.split("#")[0].strip()
        if not text:
            continue
        try:
            found.append(hours(_with_unit(float(text) if _is_number(text) else text, unit)))
        except PydanticCustomError as error:
            raise wrong(f"{path.name}:{number}: {error.message()}") from None
    if not found:
        raise wrong(f"{path.name} has no values; write one time a line")
    return found


def _with_unit(value: Any, unit: str) -> Any:
    bare = isinstance(value, int | float) and not isinstance(value, bool)
    return f"{value} {unit}" if unit and bare else value


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


WorkingTime = Annotated[Distribution, Spread("[1.5, 2, 3.5]", working=True)]
ClockTime = Annotated[Distribution, Spread("45 min")]
SomeClockTime = Annotated[Distribution, Spread("45 min", some=True)]
ElapsedTime = Annotated[Distribution, Spread("3 d", elapsed=True)]
Exposure = Annotated[float, Quantity("h", "12 h", "length of time", least=0.01)]
