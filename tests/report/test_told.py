"""The diary of a run, held against the story of one small building reckoned by hand.

One building of 20 layers of 0.375 m³ and 18.75 minutes, 10 a day. Shell crew on weekdays from 06:00 to 15:00, all
others from 07:00 to 15:00. Setting up 16 h and raising the tent 12 h with a crane, calibrating 6 h. Trucks of 2.5 m³
two hours apart from 07:00, an hour away, tests of 7.5 minutes. The site begins on Monday, 1 March 2027.
"""

from __future__ import annotations

import io
import json
import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from rich.console import Console
from rigs import WEEKDAYS, network_plan, play_plan, printing_plan, ready_mix, site_mix
from small_sites import LINE

from sitesim.answers.printed_day import print_days_of
from sitesim.chance import Fixed
from sitesim.plan import Kind, Plan
from sitesim.report.diary import Day, diary
from sitesim.report.told import as_data, diary_report
from sitesim.scenario import load
from sitesim.site import Played, Stage, play
from sitesim.study.replaying import Replayed


@pytest.fixture(scope="module")
def plan() -> Plan:
    return printing_plan(buildings=1)


@pytest.fixture(scope="module")
def played(plan: Plan) -> Played:
    return play_plan(plan, keep_diary=True)


def read(plan: Plan, played: Played, building: str = "", day: int | None = None, width: int = 300) -> list[str]:
    console = Console(width=width, file=io.StringIO(), markup=False, highlight=False)
    console.print(diary_report(plan, played, building, day))
    assert isinstance(console.file, io.StringIO)
    return [line.rstrip() for line in console.file.getvalue().splitlines()]


def lines_of(days: list[Day], month: int, day: int) -> list[str]:
    (found,) = [one for one in days if one.date == date(2027, month, day)]
    return [line.text for line in found.lines]


def test_days_without_events_are_left_out(plan: Plan, played: Played) -> None:
    days = [day.date.day for day in diary(plan, played)]
    assert days == [1, 2, 3, 4, 5, 8, 9, 10, 13, 15, 16, 17, 24]


def test_what_is_reached_follows_what_it_was_reached_by(plan: Plan, played: Played) -> None:
    told = [line.text for day in diary(plan, played) for line in day.lines]
    gone = told.index("A: printer and tent gone: reached")
    assert told[gone - 1].startswith("A: taking the printer down: done")


def test_setting_up_takes_two_days_of_eight_hours(plan: Plan, played: Played) -> None:
    lines = read(plan, played)
    monday = lines.index("Monday 1 March 2027 · day 1")
    assert lines[monday + 1] == "00:00  A: slab: ready to be built on"
    assert lines[monday + 2].startswith("07:00  A: setting up the printer: begun by shell, crane, printer 1")
    tuesday = lines.index("Tuesday 2 March 2027 · day 2")
    assert lines[tuesday + 1] == "15:00  A: setting up the printer: done after 16 h 00 of work"


def test_waiting_is_told_with_its_length_and_cause(plan: Plan, played: Played) -> None:
    """The tent waits from Tuesday 15:00, when the printer stands, to Wednesday 07:00, when the crane comes."""
    (tent,) = [line for line in lines_of(diary(plan, played), 3, 3) if "raising the tent" in line]
    assert tent == (
        "A: raising the tent: begun by shell, crane, tent 1; ready since Tue 2 Mar 15:00, "
        "waited 16 h 00 until the next shift (counted as printing and moving the printer)"
    )


def test_a_print_day_waits_for_the_next_one_and_not_for_the_printer(plan: Plan, played: Played) -> None:
    (second,) = [line.text for day in diary(plan, played) for line in day.lines if "print day 2: begun" in line.text]
    assert second.endswith("waited 17 h 56 until the next print day")


def test_what_does_not_fit_into_the_rest_of_a_shift_says_so(tmp_path: Path) -> None:
    """Of boards that take 4.8 hours in one go a gang does one a day: 3.2 hours of each shift are too short."""
    text = LINE.replace("time: 4", "time: 0.6, split: false").replace("time: 1}", "time: 0.1}")
    (tmp_path / "line.yaml").write_text(text)
    plan = load(tmp_path / "line.yaml").plan()
    lines = [line.text for day in diary(plan, play(Stage(plan), 1, 0, keep_diary=True)) for line in day.lines]
    first, second, *_ = [line.partition("waited ")[2] for line in lines if "boards: begun" in line]
    assert first == "7 h 00 until the next shift (counted as the work before it)"
    assert second == (
        "11 h 48 for a crew busy elsewhere or away (A1: boards) and 19 h 12 since it does not fit into what is left of "
        "the shift"
    )


def test_what_the_rest_of_a_shift_is_counted_as_is_said_too() -> None:
    """A lift of six hours, ripe at ten: five are left of that shift."""
    tasks = {"cure": ((), Fixed(10.0)), "lift": (("cure",), Fixed(6.0))}
    plan = network_plan(tasks, {"gang": ("lift",)}, 60, WEEKDAYS)
    cure, lift = plan.nodes
    cure = replace(cure, task=replace(cure.task, kind=Kind.CURE, hours=""))
    plan = replace(plan, nodes=(cure, replace(lift, task=replace(lift.task, splittable=False))))
    (begun,) = [line.text for day in diary(plan, play_plan(plan)) for line in day.lines if "lift: begun" in line.text]
    assert begun.endswith(
        "waited 21 h 00 since it does not fit into what is left of the shift (counted as curing and drying)"
    )


def test_long_work_is_told_in_hours(plan: Plan, played: Played) -> None:
    """Forty hours of work are five days, not one and two thirds."""
    assert lines_of(diary(plan, played), 3, 24) == ["A: roof: done after 40 h 00 of work"]


def test_curing_goes_on_over_the_weekend(plan: Plan, played: Played) -> None:
    """Beam done on Wednesday 10 March at 11:03, three days to Saturday 13 March at 11:03."""
    assert lines_of(diary(plan, played), 3, 13) == ["A: cure: over, begun Wed 10 Mar 11:03"]


def test_a_print_day_by_its_loads(plan: Plan, played: Played) -> None:
    """Ten layers of 0.375 m³ with priming, hose and specimens come to 3.98 m³: loads of 2.5 and 1.5 m³."""
    lines = read(plan, played)
    monday = lines.index("Monday 8 March 2027 · day 8")
    day = lines[monday + 1 : lines.index("Tuesday 9 March 2027 · day 9")]
    for expected in (
        "05:45  load 1 (2.50 m³) batched at the plant",
        "07:00  load 1 (2.50 m³) at the gate, on time",
        "07:07  load 1 (2.50 m³) begins to discharge at age 1 h 22",
        "09:00  load 2 (1.50 m³) at the gate, on time",
    ):
        assert expected in day
    assert not any("layer 3 done" in line for line in day), "layers are told for one day only"


def test_one_day_is_told_layer_by_layer(plan: Plan, played: Played) -> None:
    """Primed at 07:22:30; the first layer at half speed takes 37.5 minutes, the nine others 18.75."""
    lines = read(plan, played, day=8)
    assert [line for line in lines if "· day" in line] == ["Monday 8 March 2027 · day 8"]
    layers = [(line.split()[0], line.split()[2]) for line in lines if re.search(r" layer \d+ done", line)]
    assert layers == [
        ("08:00", "1"),
        ("08:18", "2"),
        ("08:37", "3"),
        ("08:56", "4"),
        ("09:15", "5"),
        ("09:33", "6"),
        ("09:52", "7"),
        ("10:11", "8"),
        ("10:30", "9"),
        ("10:48", "10"),
    ]
    in_place = next(place for place, line in enumerate(lines) if "layers 1 to 10 in place" in line)
    assert "layer 10 done" in lines[in_place - 1]


def test_ages_of_the_concrete_are_told(plan: Plan, played: Played) -> None:
    """The first layer ends at 08:00 with concrete batched at 05:45."""
    (first,) = [line for line in read(plan, played, day=8) if " layer 1 done" in line]
    assert re.split(r" {2,}", first.strip()) == [
        "08:00", "layer 1 done, the day's first, at lower speed", "38", "2:15"
    ]  # fmt: skip


def test_a_late_second_truck_makes_an_unplanned_joint() -> None:
    """The first 2.5 m³ last until about 09:22; the next come at 13:00, far past the open time of an hour."""
    plan = printing_plan(buildings=1, supply=ready_mix(spacing=6.0))
    text = "\n".join(read(plan, play_plan(plan, keep_diary=True), day=8))
    assert "unplanned joint: layer 6 prepared (in layer 7)" in text


def test_a_print_day_is_told_whole(plan: Plan, played: Played) -> None:
    lines = read(plan, played, day=8)
    text = " ".join(" ".join(lines).split())
    for expected in (
        "A, layers 1 to 10 planned; shell crew of 6",
        "Needed with priming, hose and specimens: 3.98 m³. Ordered: 2.50 m³ at 07:00 and 1.50 m³ at 09:00.",
        "crew aligns the printer on the slab",
        "waiting for concrete: load 1 in its tests, at the gate 07:00",
        "load 1 has passed its tests, begins to discharge at age 1:22",
        "Delivery tickets: times",
        "Next print day Tuesday, 9 Mar 2027: 3.98 m³ needed. Ordered: 2.50 m³ at 07:00 and 1.50 m³ at 09:00.",
    ):
        assert expected in text
    # 60 + 7:30 + 15 + 37:30 + 9 x 18:45 + 75 minutes, in minutes that add up
    account = [re.split(r" {2,}", line.strip()) for line in lines if re.search(r"\d:\d\d +\d+ %$", line)]
    assert sum(60 * int(time[:-3]) + int(time[-2:]) for _, time, _ in account) == 364
    assert next(line for line in lines if "the whole day" in line).split()[-1] == "6:04"
    assert next(line for line in lines if "batched in all" in line).split()[-1] == "4.00"


def test_what_else_goes_on_stands_apart() -> None:
    """While B is printed, the roof of A goes on."""
    plan = printing_plan(buildings=2)
    played = play_plan(plan, keep_diary=True)
    day = next(day for day, building in print_days_of(played.ledger) if building == "B")
    lines = read(plan, played, day=day)
    assert "Besides, on the site" in lines
    assert not any("print day" in line for line in lines[lines.index("Besides, on the site") :])


def test_a_day_without_printing_names_the_nearest_print_days(plan: Plan, played: Played) -> None:
    console = Console(width=300, file=io.StringIO(), markup=False, highlight=False)
    hint = Replayed(plan, played).nearest_print_days(5)
    console.print(diary_report(plan, played, "", 5, hint))
    assert isinstance(console.file, io.StringIO)
    said = console.file.getvalue()
    assert "This is no print day; the nearest print days are day 8 (2027-03-08), day 9 (2027-03-09)." in said


def test_print_days_as_data(plan: Plan, played: Played) -> None:
    data = json.loads(json.dumps(as_data(plan, played, "", 8), allow_nan=False))
    (day,) = data["print_days"]
    assert (day["day"], day["building"], day["crew"], day["planned_layers"]) == (8, "A", ["shell"], [1, 10])
    assert (day["go"], day["start"]) == ("2027-03-08T05:30:00", "2027-03-08T06:00:00")
    assert sum(day["account_hours"].values()) == day["length_hours"]
    batched = day["balance"].pop("batched_m3")
    assert batched == sum(day["balance"].values()) == 4.0
    assert [layer["layer"] for layer in day["layers"]] == list(range(1, 11))
    assert [ticket["arrived"] for ticket in day["tickets"]] == ["2027-03-08T07:00:00", "2027-03-08T09:00:00"]
    assert day["order_for_next_day"]["loads"][0] == {"volume_m3": 2.5, "due": "2027-03-09T07:00:00"}
    assert as_data(plan, played, "", 5)["print_days"] == []


def test_days_before_the_first_print_day_have_no_layers(plan: Plan, played: Played) -> None:
    assert not any("layer" in line for line in read(plan, played, day=2))


def test_only_one_building_if_asked() -> None:
    plan = printing_plan(buildings=2)
    played = play_plan(plan, keep_diary=True)
    of_b = {line.building for day in diary(plan, played, "B") for line in day.lines}
    assert of_b == {"B"}
    both = {line.building for day in diary(plan, played) for line in day.lines}
    assert both == {"A", "B"}


def test_batches_mixed_on_site_are_told_as_one() -> None:
    plan = printing_plan(buildings=1, supply=site_mix())
    text = "\n".join(read(plan, play_plan(plan, keep_diary=True)))
    assert "16 batches mixed, 3.98 m³ in all" in text
    assert "at the gate" not in text


def test_us_units(plan: Plan) -> None:
    us = replace(plan, units_of_measure="us")
    text = "\n".join(read(us, play_plan(us, keep_diary=True)))
    assert "load 1 (3.27 yd³) at the gate" in text, "2.5 m³ are 3.27 yd³"
    assert "Monday Mar 8, 2027 · day 8" in text


def test_a_day_on_which_nothing_happens(plan: Plan, played: Played) -> None:
    assert read(plan, played, day=300)[-1] == "Nothing happened there and then."


def test_a_run_that_never_ends_says_why() -> None:
    plan = network_plan({"dig": ((), Fixed(1200.0))}, days=10)
    told = " ".join(read(plan, play_plan(plan, keep_diary=True)))
    assert "This run did not come to an end. dig: " in told


def test_as_data_for_programs(plan: Plan, played: Played) -> None:
    data = json.loads(json.dumps(as_data(plan, played, "", None), allow_nan=False))
    assert (data["scenario"], data["run"], data["unfinished"]) == ("rig", 0, "")
    first = data["days"][0]
    assert (first["date"], first["weather"]) == ("2027-03-01", None)
    assert first["lines"][0] == {
        "time": "2027-03-01T00:00:00",
        "building": "A",
        "text": "A: slab: ready to be built on",
    }
    assert data["days"][-1]["lines"][-1]["time"] == "2027-03-24T09:00:00"
