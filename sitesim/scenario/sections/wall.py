"""The section ``wall``: the printed wall of a building, and the work that belongs to it."""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, PlainValidator, WithJsonSchema

from sitesim.hours import on_clock
from sitesim.scenario.quantities import (
    ClockHours,
    Length,
    Mass,
    Quantity,
    SomeClockHours,
    SomeHours,
    SomeShare,
    Temperature,
    listed,
    wrong,
)
from sitesim.scenario.sections.inspections import Point
from sitesim.scenario.sections.section import Count, LayerNumber, Name, Names, Section, or_a_table
from sitesim.scenario.sections.work import Work
from sitesim.scenario.spreads import ElapsedTime

_LAYERS = re.compile(r"(\d+)(?:\s*-\s*(\d+))?")


def _layers(value: Any) -> tuple[int, int]:
    match = _LAYERS.fullmatch(str(value).strip())
    if match is None:
        raise wrong(f"{value} is not a range of layers; write it like 1-22")
    first, last = int(match[1]), int(match[2] or match[1])
    if not 1 <= first <= last:
        raise wrong(f"{value} is not a range of layers: it should rise from 1 or more, like 1-22")
    return first, last


LayerRange = Annotated[
    tuple[int, int], PlainValidator(_layers), WithJsonSchema({"type": "string", "examples": ["1-22"]})
]


class PathRange(Section):
    """Layers with one and the same path of the nozzle."""

    layers: LayerRange
    path: Length
    turns: Annotated[int, Field(strict=True, ge=0)] = 0
    """Corners and ends of the path in a layer, each of which takes the printer's ``turn``."""
    speed: SomeShare = 1.0
    """Speed as a share of the usual, as for a slow layer over lintels."""


class JointSteel(Section):
    """Horizontal reinforcement laid by hand."""

    every: Count
    """Layers between one and the next."""
    time: ClockHours
    beside: bool = False
    """Whether it is laid beside the nozzle, which goes on, or stops it."""


class Lintels(Section):
    """Lintels set by the gantry on the layer that carries them, propped, and bedded."""

    layer: LayerNumber
    count: Count
    mass: Mass
    """Of one lintel."""
    each: SomeHours
    """Time to lift, set and prop one."""
    bed: ClockHours = 0.0
    """Time in which the bedding must stiffen before printing goes on."""

    @property
    def time(self) -> float:
        """The time [h] that they stop the nozzle."""
        return on_clock(self.count * self.each + self.bed)


class LayerStop(Section):
    """Work by hand that stops the nozzle after a layer."""

    layer: LayerNumber
    name: Name
    time: SomeClockHours


class Hold(Section):
    """Tasks that are done after a layer, before printing goes on."""

    layer: LayerNumber
    tasks: Names


class LayerPoint(Point):
    """A layer after which printing waits for an inspector, or to which a witness is invited."""

    name: Name
    layer: LayerNumber
    crew: Names = ()
    """Who does the rework."""


class MaturityGoal(Section):
    """Maturity by Nurse and Saul: hours times the degrees above a datum."""

    reached: Annotated[float, Quantity("delta_degC*h", "1400 delta_degC*h", "maturity", least=1.0, bare=True)]
    """In °C·h."""
    datum: Temperature = 0.0


class Cure(Section):
    """The wait after the last pour, day and night."""

    after: Name | None = None
    """The task after which it begins: the last of ``finish``."""
    time: ElapsedTime
    maturity: MaturityGoal | None = None
    """What the pour has to reach besides, in the warmth of the tent; it only says when to ask for specimens."""


def _paths(value: Any) -> Any:
    return value if isinstance(value, list) else [{"layers": "1-999999", "path": value}]


WHOLE_HEIGHT = 999999
"""The last layer of a path that is the same all the way up."""


class Wall(Section):
    """The printed wall: its layers, the days in which it is printed, and the shell work that goes with it."""

    height: Length
    layer_height: Length
    bead_width: Length
    path: Annotated[tuple[PathRange, ...], BeforeValidator(_paths, json_schema_input_type=Length | list[PathRange])]
    """The length of the nozzle's path: one for all layers, or by ranges of layers."""
    layers_a_day: Count | None = None
    day_ends: Annotated[
        tuple[LayerNumber, ...], BeforeValidator(listed, json_schema_input_type=LayerNumber | list[LayerNumber])
    ] = ()
    """Layers at which a print day is to end."""
    joint_steel: JointSteel | None = None
    lintels: tuple[Lintels, ...] = ()
    stops: tuple[LayerStop, ...] = ()
    holds: tuple[Hold, ...] = ()
    points: tuple[LayerPoint, ...] = ()
    """Layers at which an inspector is called, before the tasks that are done there."""
    finish: Names = ()
    """Tasks after the last layer, in turn."""
    cure: Cure | None = None
    tasks: Annotated[dict[Name, Work], or_a_table(dict[Name, Work])] = Field(default_factory=dict)
    """The tasks that ``holds`` and ``finish`` name."""

    @property
    def layers(self) -> int:
        """How many layers make the height."""
        return round(self.height / self.layer_height)

    def path_of(self, layer: int) -> float:
        """Give the nozzle's path [m] in a layer counted from 1."""
        return self.range_of(layer).path

    def range_of(self, layer: int) -> PathRange:
        """Give the range in which a layer counted from 1 lies."""
        return next(part for part in self.path if part.layers[0] <= layer <= part.layers[1])

    @property
    def pour(self) -> str:
        """The name of the task that counts as the bond beam: the one called beam, or else the last, or ``walls``."""
        if "beam" in self.finish:
            return "beam"
        return self.finish[-1] if self.finish else "walls"

    @property
    def shell_tasks(self) -> tuple[str, ...]:
        """The names of the tasks in ``holds`` and ``finish``, in the order in which they are done."""
        held = [task for hold in sorted(self.holds, key=lambda hold: hold.layer) for task in hold.tasks]
        return (*held, *self.finish)


def _none(value: Any) -> Any:
    return None if value == "none" else value


MaybeWall = Annotated[Wall | None, BeforeValidator(_none, json_schema_input_type=Wall | Literal["none"] | None)]
"""A wall, or the word ``none`` where nothing is printed."""
