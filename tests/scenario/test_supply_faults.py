"""Faults of supply and print days, in scenarios that have everything and in the one to start from."""

from __future__ import annotations

from pathlib import Path

import pytest
from cases import changed, faults_of, line_of_section, line_with, lines_of
from everything import everything, everything_mixed

from sitesim.scenario import load


def test_a_spacing_that_the_fleet_cannot_meet_is_refused_with_the_numbers(tmp_path: Path) -> None:
    path = changed(tmp_path, ("spacing: 120 min", "spacing: 30 min"), ("trucks: 3", "trucks: 2"))
    (fault,) = faults_of(path)
    # A load of 2 m³ of the wall's 15.163 lasts that share of 12.94 h of nozzle and 2.5 h of stops: 122 min. Haul and
    # way back have the mean 45·exp(σ²/2) min, σ = ln(55/45)/1.281552: 45.6. Recomputed by hand.
    assert fault.message == (
        "30 min is closer than 2 trucks come round: a day takes up to 3 loads and a round trip 238 min "
        "(loading 15 min, haul 46 min, gate 10 min, emptying 122 min, wash 0 min, way back 46 min); "
        "120 min or 3 trucks would do"
    )
    assert str(fault).startswith(f"{path}:{line_with(path, 'spacing: 30 min')}  supply.spacing: ")


def test_trucks_that_come_but_once_a_day_may_be_close_together(tmp_path: Path) -> None:
    path = changed(tmp_path, ("spacing: 120 min", "spacing: 30 min"))
    assert load(path).model.supply is not None


def test_keys_of_the_other_mode_in_the_same_file_are_faults(tmp_path: Path) -> None:
    path = changed(tmp_path, ("  mode: ready-mix", "  batch: 0.35 m^3\n  mode: ready-mix"))
    (fault,) = faults_of(path)
    assert (fault.path, fault.message) == (
        "supply.batch",
        "belongs to mode site-mixing, which is not the one in play",
    )
    assert fault.line == line_with(path, "batch: 0.35 m^3")


def test_a_scenario_that_has_everything_has_no_fault(tmp_path: Path) -> None:
    assert load(everything(tmp_path)).plan().supply is not None


def test_a_mixer_that_has_everything_has_no_fault(tmp_path: Path) -> None:
    assert load(everything_mixed(tmp_path)).plan().supply is not None


# What is changed in the scenario that has everything, and the fault that this makes at the changed line.
OF_EVERYTHING = [
    ("lead: 90 min", "lead: 55 min", "supply.lead: 55 min is shorter than the way: loading 15 min, haul 46 min; "
     "71 min with the tests at the gate would do"),
    ("ordering: will-call", "ordering: days-need\n  top_up: true",
     "supply.top_up: goes with fixed ordering, not with days-need"),
    ("ordering: will-call", "ordering: by-call", "supply.ordering: by-call should be fixed, will-call or days-need"),
    ("morning_call: confirm", "morning_call: ask", "supply.morning_call: ask should be adjust or confirm"),
    # From three in the afternoon to 05:59, when the first load is batched.
    ("notice: 45 min", "notice: 16 h",
     "supply.notice: 16 h before a load is batched is before it is ordered: from the cut-off (15:00) to the first "
     "batch (05:59) there are 899 min"),
    ("notice: 45 min", "notise: 45 min", "supply.notise: is not known here: did you mean notice?"),
    ("other_customers: 60 %", "other_customers: 96 %",
     "supply.other_customers: 96 % is too much, it should be at most 0.95 (95 %)"),
    ("factor: 1.2}", "factor: 0.1}", "supply.traffic.0.factor: 0.1 is too little, it should be at least 0.2"),
    ('["07:00-09:00", "16:00-18:00"]', '["07:00-09:00", "08:00-18:00"]',
     "supply.traffic.0.hours: the hours in ['07:00-09:00', '08:00-18:00'] overlap"),
    ("of: plant, on:", "of: bridge, on:", "supply.outages.0.of: bridge should be plant, road or truck"),
    ("on: [2027-05-14, 2027-06-18]", "on: [2027-05-14, 2027-06-31]",
     "supply.outages.0.on.1: 2027-06-31 is not a date; write it like 2027-03-01"),
    (", on: [2027-05-14, 2027-06-18]", "",
     "supply.outages.0: stocktaking never happens; write on: with dates, or a chance with a time"),
    (", time: [1 h, 4 h, 30 h]", "",
     "supply.outages.2: axle has a chance but no time; write how long it lasts, like time: 2 h"),
    ("capacity: 2.5 m^3, empties", "capacity: 1.9 m^3, empties",
     "supply.holding_hopper.capacity: 1.9 m^3 is less than a load (2 m^3), whose truck could never go"),
    ("life: 1.25}", "life: 0.5}", "supply.holding_hopper.life: 0.5 is too little, it should be at least 1"),
    ("  calendar: plant\n", "  calendar: plnt\n", "supply.calendar: there is no calendar plnt: did you mean plant?"),
    # 15 min and 45.6 min of haul before seven: 05:59.
    ('first_arrival: "07:00"', 'first_arrival: "05:30"',
     "supply.first_arrival: 05:30 cannot be kept: the plant opens at 05:00, and loading and haul take 61 min; "
     "06:01 can"),
    ("until: 360 min", "until: 330 min",
     "concrete.waiver.until: 330 min is no longer than the agreed life (330 min): leave the waiver out"),
    ("by: producer and engineer", "by: me", "concrete.waiver.by"),
    ("retarder: 1.1", "retarder: 0.9", "concrete.retarder: 0.9 is too little, it should be at least 1"),
    ("rise: 4 delta_degC, least", "rise: -4 delta_degC, least",
     "concrete.warmth.rise: -4 delta_degC is too little, it should be at least 0 °C"),
    ("build_up: 0.8 Pa/s, clear", "build_up: 0 Pa/s, clear",
     "concrete.accelerator.build_up: 0 Pa/s is too little, it should be more than 0 Pa/s"),
    ("mass: 80 kg", "mass: 180 kg",
     "wall.lintels.0.mass: 180 kg is more than the gantry's rated lift (150 kg), and a crane cannot lift under the "
     "raised tent: lighter lintels, in pieces, or a hold with its own task"),
    ("{layer: 50, count: 6", "{layer: 65, count: 6",
     "wall.lintels.0.layer: there is no layer above 65, the wall has 65"),
    ("turns: 40,", "turns: 4.5,", "wall.path.0.turns: 4.5 is not a whole number"),
    ("speed: 95 %", "speed: 0", "wall.path.0.speed: 0 is too little, it should be more than 0"),
    ("meal: {after: 4 h, time: 30 min}", "meal: {after: 4 h}", "printer.meal.time: is missing"),
    ("old: {after: 3 h, counts: 2}", "old: {after: 3 h, counts: 0.5}",
     "breakdowns.0.old.counts: 0.5 is too little, it should be at least 1"),
    ("pause: {after: 20 min, counts: 3}", "pause: {after: 20 min}", "breakdowns.0.pause.counts: is missing"),
]  # fmt: skip


@pytest.mark.parametrize(("before", "after", "fault"), OF_EVERYTHING, ids=lambda text: str(text)[:40])
def test_a_fault_in_everything_is_told_alone_and_at_its_line(
    tmp_path: Path, before: str, after: str, fault: str
) -> None:
    path = everything(tmp_path)
    text = path.read_text()
    assert text.count(before) == 1, before
    path.write_text(text.replace(before, after))
    at = text[: text.index(before)].count("\n") + 1 + after.count("\n") * (not after.endswith("\n"))
    (line,) = lines_of(path)
    place, _, told = line.partition("  ")
    assert told.startswith(fault)
    assert place == f"site.yaml:{at}"


OF_THE_MIXER = [
    ("capacity: 12 m^3", "capacity: 0.2 m^3",
     ["supply.store.capacity: 0.2 m^3 is less than a batch (0.25 m^3)",
      "supply.store.reorder_at: 4 m^3 is not below the capacity (0.2 m^3): there would be no end of ordering"]),
    ("reorder_at: 4 m^3", "reorder_at: 12 m^3",
     ["supply.store.reorder_at: 12 m^3 is not below the capacity (12 m^3): there would be no end of ordering"]),
    ("lead: [1, 2, 4]", "lead: 2 d", ["supply.store.lead: 2 d would be 48 hours of work; write working days: 2 wd"]),
    ("cleaning: {every: 3 h", "cleaning: {every: 0 h",
     ["supply.cleaning.every: 0 h is too little, it should be at least 0.01 h"]),
]  # fmt: skip


@pytest.mark.parametrize(("before", "after", "faults"), OF_THE_MIXER)
def test_a_fault_of_the_mixer_is_told_at_its_line(tmp_path: Path, before: str, after: str, faults: list[str]) -> None:
    path = everything_mixed(tmp_path)
    text = path.read_text()
    assert text.count(before) == 1, before
    path.write_text(text.replace(before, after))
    line = line_with(path, after)
    assert lines_of(path) == [f"site.yaml:{line}  {fault}" for fault in faults]


def test_will_call_and_top_up_need_a_lead_and_fixed_ordering_a_spacing(tmp_path: Path) -> None:
    # Loading 15 min, haul 45.6 and gate 10: 71 min, rounded up.
    way = "needs the time from a call to the gate, 71 min or more"
    for name, ordering, fault in (
        ("call", "ordering: will-call", f"has no lead; will-call ordering {way}"),
        ("top", "spacing: 2 h\n  top_up: true", f"has no lead; top_up {way}"),
        ("fixed", "ordering: fixed", "has no spacing; fixed ordering needs one, like spacing: 135 min"),
    ):
        (tmp_path / name).mkdir()
        path = changed(tmp_path / name, ("spacing: 120 min", ordering))
        assert lines_of(path) == [f"site.yaml:{line_of_section(path, 'supply')}  supply: {fault}"]


def test_outages_have_names_of_their_own(tmp_path: Path) -> None:
    path = everything(tmp_path)
    path.write_text(path.read_text().replace("name: bridge", "name: axle"))
    told = [(fault.path, fault.message) for fault in faults_of(path)]
    message = "axle is the name of more than one outage"
    assert told == [("supply.outages.1.name", message), ("supply.outages.2.name", message)]


def test_lintels_need_a_gantry_whose_lift_is_rated(tmp_path: Path) -> None:
    path = everything(tmp_path)
    path.write_text(path.read_text().replace("  rated_lift: 150 kg\n", ""))
    (fault,) = faults_of(path)
    assert fault.message == "the gantry has no rated lift; write printer.rated_lift, like 150 kg, from the manufacturer"
    assert fault.line == line_with(path, "mass: 80 kg")


def test_concrete_whose_waiver_covers_the_way_is_no_fault(tmp_path: Path) -> None:
    # The way takes 71 min: a life of 60 is over before, but 90 by a waiver are not.
    waiver = "working_life: 60 min\n  waiver: {until: 90 min, by: producer}"
    assert load(changed(tmp_path, ("working_life: 300 min", waiver))).plan() is not None


def test_a_slow_range_with_many_turns_may_take_longer_than_a_joint_lies_open(tmp_path: Path) -> None:
    # 90 m at 20 % of 150 mm/s and 15 % of travel: 57.5 min, within 65; with 300 turns of 2 s on top 67.5. Turns are
    # shorter than three ticks of the clock, and not rounded to them before they are added up.
    slow = ("layers: 1-50, path: 90 m", "layers: 1-50, path: 90 m, speed: 20 %, turns: 300")
    turns = ("  travel: 15 % ", "  turn: 2 s\n  travel: 15 % ")
    path = changed(tmp_path, slow, turns)
    (fault,) = [fault for fault in faults_of(path) if fault.path == "concrete.open_time"]
    assert "65 min is shorter than layer 1 of North takes (68 min)" in fault.message
