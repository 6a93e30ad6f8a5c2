"""The section ``finishing``: the tasks behind the printer, and the sequences they may be done in."""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal, NamedTuple

from pydantic import BeforeValidator, PlainValidator, ValidationInfo, WithJsonSchema
from pydantic_core import PydanticCustomError

from sitesim.hours import on_clock
from sitesim.scenario.quantities import Quantity, SomeShare, day_hours, listed, number_and_unit, wrong
from sitesim.scenario.sections.section import Count, Name, Names, Section, or_a_table
from sitesim.scenario.sections.work import Work
from sitesim.scenario.spreads import WorkingTime

_LAG = Quantity("h", "24 h", "lag", least=0.0)
_DRYING = "drying"
"""Written behind a lag that goes by how warm and dry the air is."""
_AFTER = re.compile(r"([^+]+?)\s*(?:\+\s*(.+))?")
_LEAD = re.compile(r"([^+]+?)\s*(?:\+\s*-|\s-)\s*(\d[^+]*)")


class After(NamedTuple):
    """What a task waits for: the ``task``, and a ``lag`` [h] in working hours or elapsed, as ``written``.

    Of a ``drying`` lag the hours are those at 20 °C and half the vapour that air can hold.
    """

    task: str
    lag: float
    working: bool
    written: str
    drying: bool = False


def read_after(value: Any, info: ValidationInfo) -> After:
    """Read ``foam``, ``foam + 24 h`` or ``beam + 5 wd``; raises PydanticCustomError for anything else."""
    lead = _LEAD.fullmatch(value.strip()) if isinstance(value, str) else None
    if lead is not None and (number_and_unit(lead[2]) or ("", ""))[1]:
        raise wrong(
            f"{value}: nothing begins before what it waits for has ended; where it may, let it wait for an earlier "
            f"step, or write {lead[1]} as two tasks and let it wait for the first"
        )
    match = _AFTER.fullmatch(value.strip()) if isinstance(value, str) else None
    if match is None:
        raise wrong(f'{value!r} is not a task to wait for; write it like foam or "foam + 24 h"')
    task, lag = match[1].strip(), (match[2] or "").strip()
    if not lag:
        return After(task, 0.0, False, "")
    drying = lag.endswith(_DRYING)
    lag = lag.removesuffix(_DRYING).strip()
    split = number_and_unit(lag)
    if split is None or not split[1]:
        raise wrong(f"the lag in {value} has no unit; write + 24 h, + 3 d or + 5 wd")
    if drying and split[1] == "wd":
        raise wrong(f"{value}: drying goes on day and night; write it like + 3 d drying")
    if split[1] == "wd":
        return After(task, on_clock(split[0] * day_hours(info.context)), True, lag)
    try:
        return After(task, on_clock(_LAG.read(lag)), False, lag, drying)
    except PydanticCustomError as error:
        raise wrong(f"the lag in {value}: {error.message()}") from None


AfterText = Annotated[
    After, PlainValidator(read_after), WithJsonSchema({"type": "string", "examples": ["foam + 24 h"]})
]


def _afters(value: Any) -> Any:
    return [] if value is None else listed(value)


Afters = Annotated[
    tuple[AfterText, ...], BeforeValidator(_afters, json_schema_input_type=AfterText | list[AfterText] | None)
]


class Delivery(Section):
    """Something ordered once another task is done, and needed before the task begins."""

    name: Name | None = None
    ordered_after: Afters
    """The task, or several of which those of the sequence count."""
    lead: WorkingTime


class FinishingTask(Work):
    """A task behind the printer, done once for each home, building or site."""

    per: Literal["home", "building", "site"] = "home"
    delivery: Delivery | None = None
    alone: bool = False
    """Whether nobody else works in the home meanwhile."""
    outside: bool = False
    """Whether it is done outside the homes and occupies none."""


class Crowd(Section):
    """How gangs in one place slow each other."""

    above: Count = 1
    """The number of gangs that do not."""
    each: SomeShare
    """By how much every further one lengthens what is begun then."""


class Crowding(Section):
    """How crowded homes and buildings slow work; not at all unless given."""

    home: Crowd | None = None
    building: Crowd | None = None


class Finishing(Section):
    """The tasks, and for each sequence what every task waits for."""

    tasks: Annotated[dict[Name, FinishingTask], or_a_table(dict[Name, FinishingTask])]
    sequence: Name | None = None
    """The sequence in play."""
    sequences: dict[Name, Annotated[dict[Name, Afters], or_a_table(dict[Name, Afters])]]
    apart: tuple[Names, ...] = ()
    """Lists of tasks, or of skills, of which no two are in one home at the same time."""
    crowding: Crowding = Crowding()

    @property
    def usual_sequence(self) -> str:
        """The sequence of buildings that name none."""
        return self.sequence if self.sequence is not None else next(iter(self.sequences), "")
