"""Numbers that a slip of their unit has left where nobody believes them, and numbers that are only unusual."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

import pytest
from cases import DEMO, line_with, lines_of
from pydantic import BaseModel

from sitesim.scenario import load
from sitesim.scenario.believed import BELIEVED, MIXED_UP_WITH
from sitesim.scenario.disbelief import key_of
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.quantities import Quantity
from sitesim.scenario.spreads import Spread

EVERYTHING = Path(__file__).parent

REFUSED = [
    # Minutes, hours and days taken for one another.
    ("tent.sides.time=900 h", "usually 2 to 480 min, never more than 1,440 min"),
    ("weather.limits.printing.evaporation={most: 1 kg/m^2/h, measures: 100 h}", "measures: 100 h is not believed"),
    ("pump.prime=15 h", "pump.prime: 15 h is not believed: it is usually 0.5 to 120 min"),
    ("pump.wash_out=75 h", "is it 75 min?"),
    ("supply.spacing=135 h", "supply.spacing: 135 h is not believed"),
    ("supply.haul={p50: 60 h, p90: 72 h}", "supply.haul: 72 h is not believed"),
    ("supply.gate=15 h", "is it 15 min?"),
    ("concrete.joint.time=45 h", "concrete.joint.time: 45 h is not believed"),
    ("wall.joint_steel.time=30 h", "is it 30 min?"),
    ("wall.cure.time=800 d", "wall.cure.time: 800 d is not believed"),
    ("site.slab_cure=670 d", "0.25 to 60 d, never more than 365 d; is it 670 h?"),
    ("breakdowns.0.time={p50: 8 d, p90: 900 d}", "breakdowns.0.time: 900 d is not believed"),
    ("inspections.inspectors.final.visit=60 h", "is it 60 min?"),
    ("weather.block=900 d", "weather.block: 900 d is not believed"),
    # Working days that were meant to be something else.
    ("crews.drywall.call_ahead=100000", "call_ahead: 100000 is not believed: it is usually 0.02 to 120 wd"),
    ("finishing.tasks.foam.time=5000", "foam.time: 5000 is not believed: it is usually 0.01 to 120 wd"),
    ("finishing.sequences.boards_first.paint=[tape + 3000 d]", "paint.0: tape + 3000 d is not believed"),
    # Lengths, volumes, masses, shares.
    ("wall.height=2680 m", "usually 0.3 to 12 m, never more than 200 m; is it 2680 mm?"),
    ("wall.layer_height=4 m", "is it 4 mm?"),
    ("wall.bead_width=60 m", "is it 60 mm?"),
    ("pump.hose.bore=50 m", "is it 50 mm?"),
    ("pump.hopper=250 m^3", "is it 250 L?"),
    ("concrete.density=21 kg/m^3", "usually 300 to 3,500 kg/m^3, never less than 50 kg/m^3"),
    ("concrete.waste=4", "concrete.waste: 4 is not believed: it is usually 0 to 0.3, never more than 1"),
    ("supply.trucks=3000", "supply.trucks: 3000 is not believed: it is usually 1 to 60, never more than 1,000"),
    ("tent.rated_gust=380 mph", "tent.rated_gust: 380 mph is not believed: it is usually 13.4 to 157 mph"),
    ("tent.rated_gust=0.5 mph", "is not believed: it is usually 13.4 to 157 mph, never less than 2.24 mph"),
    ("supply.haul={p90: 72 h, p50: 60 min}", "supply.haul: 72 h is not believed"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "fault"), REFUSED, ids=[change.split("=")[0] for change, _ in REFUSED])
def test_a_slip_of_a_unit_is_refused_with_what_may_have_been_meant(change: str, fault: str) -> None:
    assert any(fault in line for line in lines_of(DEMO, change)), lines_of(DEMO, change)


UNUSUAL = [
    ("pump.hose.bore=50 cm", "pump.hose.bore: 50 cm is unusual: it is usually 10 to 200 mm; is it 50 mm?"),
    ("concrete.waste=40 %", "concrete.waste: 40 % is unusual: it is usually 0 to 0.3."),
    ("weather.limits.tent.gust=150 mph", "limits.tent.gust: 150 mph is unusual: it is usually 4.47 to 89.5 mph."),
    ("weather.limits.outside.temperature=[35 degC, 90 degC]", "temperature.low: 35 degC is unusual"),
    ("weather.limits.foam.temperature=[2 degC, 90 degC]", "usually 5 to 55 degC; is it 90 degF?"),
    ("inspections.inspectors.building.moved_until=16 d", "moved_until: 16 d is unusual"),
    ("printer.speed=1200 mm/s", "printer.speed: 1200 mm/s is unusual"),
    ("wall.bead_width=700 mm", "wall.bead_width: 700 mm is unusual"),
    ("finishing.sequences.boards_first.paint=[tape + 300 d]", "paint.0: tape + 300 d is unusual"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "doubt"), UNUSUAL, ids=[change.split("=")[0] for change, _ in UNUSUAL])
def test_what_is_unusual_is_a_caution_and_is_played(change: str, doubt: str) -> None:
    scenario = load(DEMO, [change])
    (told,) = [line for line in scenario.doubts if doubt in line]
    assert told in scenario.cautions()
    assert told.endswith(" Leave it if it is right.")
    assert scenario.plan().nodes


def test_every_scenario_that_ships_is_usual() -> None:
    for path in sorted(DEMO.parent.glob("*.yaml")):
        assert load(path).doubts == (), path.stem


def test_a_doubt_names_the_file_and_line_that_says_it(tmp_path: Path) -> None:
    first = tmp_path / "first.yaml"
    first.write_text(f"extends: {DEMO}\npump:\n  hopper: 5 m^3\n")
    second = tmp_path / "second.yaml"
    second.write_text("extends: first.yaml\nconcrete: {waste: 40 %}\n")
    told = load(second).doubts
    assert [line.split("  ")[0].replace(f"{tmp_path}/", "") for line in told] == ["first.yaml:3", "second.yaml:2"]
    assert line_with(first, "hopper") == 3


def test_a_wall_that_buildings_take_over_is_doubted_once() -> None:
    doubts = load(DEMO, ["wall.joint_steel.time=5 h", "site.buildings.B.wall.height=2.68 m"]).doubts
    assert len(doubts) == 1


def numbers_of(section: type[BaseModel], seen: set[type[BaseModel]]) -> Iterator[tuple[type[BaseModel], str, Any]]:
    """Give every key of a section and of those in it that takes a number, with a unit or whole, or a spread."""
    if section in seen:
        return
    seen.add(section)
    for name, field in section.model_fields.items():
        yield from _of_annotation(section, name, field.annotation, tuple(field.metadata), seen)


def _of_annotation(
    section: type[BaseModel], name: str, annotation: Any, metadata: tuple[Any, ...], seen: set[type[BaseModel]]
) -> Iterator[tuple[type[BaseModel], str, Any]]:
    if inspect.isclass(annotation) and issubclass(annotation, BaseModel):
        yield from numbers_of(annotation, seen)
        return
    measures = [part for part in metadata if isinstance(part, Quantity | Spread)]
    if measures:
        yield section, name, measures[0]
        return
    if annotation is int:
        yield section, name, None
    for part in get_args(annotation):
        if not isinstance(part, str):
            yield from _of_annotation(section, name, part, getattr(part, "__metadata__", ()), seen)


ELSEWHERE = {
    "Site.latitude", "Weather.gust_factor", "Weather.station_height", "WorkLimits.height", "LiftedLoad.drag",
    "TrafficSpan.factor", "Concrete.retarder", "HoldingHopperEntry.life",  # bounded as closely where they are read
    "PathRange.layers", "Wall.day_ends", "Hold.layer", "LayerPoint.layer", "LayerStop.layer", "Lintels.layer",
    "JointSteel.every", "Lintels.count", "PrinterDown.after_layer", "TentLost.after_layer", "Interruption.after_layer",
    "HarsherWeather.year", "Weather.draw", "WorkingWeek.days", "Printer.count", "Tent.count",  # held against the rest
}  # fmt: skip
"""Keys whose numbers are bounded where they are read, or have to fit layers, years and weekdays that are written."""


def test_every_number_of_a_scenario_is_bounded() -> None:
    """A new key needs a line in the table of what is believed, unless it is a share or a sum of money."""
    bare, found = set(), set()
    for section, name, measure in numbers_of(ScenarioModel, set()):
        key = key_of(section, name)
        found.add(key)
        money = isinstance(measure, Quantity) and (measure.called.startswith(("price", "sum of money")))
        share = isinstance(measure, Quantity) and measure.called == "share" and measure.most <= 1.0
        if key is None and not money and not share and f"{section.__name__}.{name}" not in ELSEWHERE:
            bare.add(f"{section.__name__}.{name}")
    assert bare == set()
    # What is worked out in no field of its own: the lag of what is waited for, spans that are decided, a place.
    assert set(BELIEVED) - found <= {"After.lag", "Gang.stays", "Gang.call_ahead", "Gang.start_delay"}


def test_bounds_rise_and_a_unit_is_mixed_up_with_what_measures_the_same() -> None:
    for key, believed in BELIEVED.items():
        assert believed.least <= believed.usual_least < believed.usual_most <= believed.most, key
    for unit, others in MIXED_UP_WITH.items():
        assert len(set(others)) == len(others) > 1, unit
