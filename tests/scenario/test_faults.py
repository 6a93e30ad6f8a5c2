"""Each fault: its file and line, its dotted path, what is wrong and what would be right."""

from __future__ import annotations

from pathlib import Path

import pytest
from cases import changed, faults_of, line_of_section, line_with, lines_of, written

from sitesim.scenario import ScenarioError, load

# What is changed in the scenario to start from, and the fault that this makes at the changed line.
WRONG_VALUES = [
    ("load: 2 m^3", "load: 2", "supply.load: 2 has no unit; write it like 2 m^3"),
    ("load: 2 m^3", "load: 2 mm", "supply.load: 2 mm: mm is not a unit of the right kind; write it like 2 m^3"),
    (
        "load: 2 m^3",
        "load: 2 cups^",
        "supply.load: 2 cups^: cups^ is not a unit of the right kind; write it like 2 m^3",
    ),
    ("load: 2 m^3", "load: 2 xyzzy", "supply.load: 2 xyzzy: xyzzy is not a known unit; write it like 2 m^3"),
    ("load: 2 m^3", "load: -2 m^3", "supply.load: -2 m^3 is too little, it should be at least 0.001 m³"),
    ("load: 2 m^3", "load: [2 m^3]", "supply.load: ['2 m^3'] is not a volume; write it like 2 m^3"),
    ("load: 2 m^3", "lod: 2 m^3", "supply.lod: is not known here: did you mean load?"),
    ("gate: 10 min", "refused: 150 %", "supply.refused: 150 % is too much, it should be at most 1 (100 %)"),
    ("gate: 10 min", "refused: 1.5", "supply.refused: 1.5 is too much, it should be at most 1 (100 %)"),
    ("trucks: 3", "trucks: two", "supply.trucks: two is not a whole number"),
    ("trucks: 3", "trucks: 2.5", "supply.trucks: 2.5 is not a whole number"),
    ("trucks: 3", "trucks: 0", "supply.trucks: 0 is too little, it should be at least 1"),
    ("trucks: 3", "trucks: true", "supply.trucks: True is not a whole number"),
    (
        'first_arrival: "07:00"',
        "first_arrival: 7 am",
        'supply.first_arrival: 7 am is not a time of day; write it like "07:00"',
    ),
    ("start: 2027-04-05", "start: 5 April", "site.start: 5 April is not a date; write it like 2027-03-01"),
    ("start: 2027-04-05", "start: 2027-02-30", "site.start: 2027-02-30 is not a date; write it like 2027-03-01"),
    (
        "time: [2, 3, 5]",
        "time: [4, 3, 5]",
        "finishing.tasks.services.time: low 4 is more than likely 3; they should rise",
    ),
    (
        "time: [2, 3, 5]",
        "time: [2, 7, 5]",
        "finishing.tasks.services.time: likely 7 is more than high 5; they should rise",
    ),
    (
        "time: [2, 3, 5]",
        "time: [2, 3]",
        "finishing.tasks.services.time: should be three values, [low, likely, high], and not 2",
    ),
    (
        "time: [2, 3, 5]",
        "time: -1",
        "finishing.tasks.services.time: -1 wd is too little, it should be at least 0 h",
    ),
    (
        "time: [2, 3, 5]",
        "time: 4 d",
        "finishing.tasks.services.time: 4 d would be 96 hours of work; write working days: 4 wd",
    ),
    (
        "time: [2, 3, 5]",
        "time: {p10: 3, p90: 2}",
        "finishing.tasks.services.time: p10 3 is not less than p90 2",
    ),
    (
        "time: [2, 3, 5]",
        "time: {observed: times.csv}",
        "finishing.tasks.services.time: there is no file times.csv",
    ),
    (
        "cure: {after: beam, time: 3 d}",
        "cure: {time: 2 wd}",
        "wall.cure.time: 2 wd is working time, but this runs on day and night; write it like 3 d",
    ),
    (
        "gantry_leaves: cure",
        "gantry_leaves: bean",
        "relocation.gantry_leaves: bean should be walls, beam, cure, strength or roof",
    ),
    ("per: nozzle", "per: nozle", "breakdowns.1.per: nozle should be pumped or nozzle"),
    (
        "temperature: [5 degC, 32 degC]",
        "temperature: [32 degC, 5 degC]",
        "weather.limits.printing.temperature: the lowest, 32 °C, is above the highest, 5 °C",
    ),
    (
        "rise: 12 delta_degC",
        "rise: 12 mm",
        "tent.heater.rise: 12 mm: mm is not a unit of the right kind; write it like 12 delta_degC",
    ),
    (
        "site: {days: mon-fri",
        "site: {days: mon-fir",
        "calendar.site.days: fir is not a day of the week; write mon-fri or [mon, wed]",
    ),
    (
        'hours: ["07:00-15:00"]',
        'hours: ["22:00-06:00"]',
        "calendar.site.hours: 22:00-06:00 ends before it begins; a span lies within one day",
    ),
    (
        "holidays: US-WA}   #",
        "holidays: US-XX}   #",
        "calendar.site.holidays: US-XX is not a country or a part of one whose holidays are known; "
        "write US-WA, GB-ENG or none",
    ),
    ("mode: ready-mix", "mode: redi-mix", "supply.mode: redi-mix should be ready-mix or site-mixing"),
    (
        "layers: 1-50",
        "layers: 50-1",
        "wall.path.0.layers: 50-1 is not a range of layers: it should rise from 1 or more, like 1-22",
    ),
    ("mix: 250 /m^3", "mix: 250", "costs.mix: 250 has no unit; write it like 250 /m^3"),
    ("confidence: 80 %", "confidence: 80", "promise.confidence: 80 is too much, it should be at most 1 (100 %)"),
    (
        "paint: [boards + 3 d]",
        "paint: [boards + 3]",
        "finishing.sequences.usual.paint.0: the lag in boards + 3 has no unit; write + 24 h, + 3 d or + 5 wd",
    ),
]

CROSS_FAULTS = [
    (
        "height: 2.6 m ",
        "height: 2.7 m ",
        "wall.height: 2.7 m is not a whole number of layers of 40 mm: 67 make 2.68 m, 68 make 2.72 m",
    ),
    (
        "layers: 51-65",
        "layers: 53-65",
        "wall.path.1.layers: layers 51-52 have no path; this range should begin at layer 51",
    ),
    (
        "layers: 51-65",
        "layers: 50-65",
        "wall.path.1.layers: layer 50 has two paths; this range should begin at layer 51",
    ),
    ("day_ends: [25, 50, 65]", "day_ends: [25, 20, 65]", "wall.day_ends: 20 follows 25; the layers should rise"),
    (
        "day_ends: [25, 50, 65]",
        "day_ends: [25, 60]",
        "wall.day_ends: the last is layer 60, it should be the wall's last, 65",
    ),
    ("layer: 50, name", "layer: 70, name", "wall.stops.0.layer: there is no layer 70, the wall has 65"),
    ("layer: 25, tasks", "layer: 70, tasks", "wall.holds.0.layer: there is no layer 70, the wall has 65"),
    (
        "layer: 25, tasks",
        "layer: 65, tasks",
        "wall.holds.0.layer: nothing is printed after layer 65; put its tasks into finish",
    ),
    (
        "every: 10, time",
        "every: 65, time",
        "wall.joint_steel.every: 65 layers are as many as the wall has (65): there would be no joint steel",
    ),
    (
        "finish: [beam]  ",
        "finish: [bean]  ",
        "wall.finish: there is no task bean in wall.tasks: did you mean beam?",
    ),
    (
        "cure: {after: beam",
        "cure: {after: walls",
        "wall.cure.after: walls is not the last step before the cure, which is beam",
    ),
    ("load: 2 m^3", "load: 14 m^3", "supply.load: 14 m^3 is more than a truck carries (7.5 m^3)"),
    ("load: 2 m^3", "load: 2.2 m^3", "supply.load: 2.2 m^3 is not a whole number of steps of 0.5 m^3"),
    ("least: 1 m^3", "least: 3 m^3", "supply.least: 3 m^3 is more than a load (2 m^3)"),
    (
        "working_life: 300 min",
        "working_life: 60 min",
        # 15 + 45·exp(σ²/2) + 10 with σ = ln(55/45)/1.281552: 70.6
        "concrete.working_life: 60 min is over before a load can be printed: "
        "loading 15 min, haul 46 min and gate 10 min make 71 min",
    ),
    (
        "open_time: 65 min",
        "open_time: 14 min",
        # 2100·9.81·0.04/(√3·0.5 Pa/s) = 951.5 s
        "concrete.open_time: 14 min is shorter than the shortest layer interval (16 min): "
        "every joint would be unplanned",
    ),
    (
        "slab: 2027-04-26",
        "slab: 2027-04-01",
        "site.buildings.South.slab: 2027-04-01 is before the start of the site, 2027-04-05; "
        "take that day or a later one",
    ),
    (
        "slab: 2027-04-26",
        "slab: 2029-04-26",
        # 5 April 2027 and 500 days
        "site.buildings.South.slab: 2029-04-26 is not before the end of the horizon, 2028-08-17 (500 d)",
    ),
    (
        "homes: [S1, S2]",
        "homes: [S1, N2]",
        "site.buildings.South.homes: the name N2 is that of a home of building North; every home has a name of its own",
    ),
    (
        "homes: [S1, S2]",
        "homes: [S1, North]",
        "site.buildings.South.homes: the name North is that of building North; every home has a name of its own",
    ),
    (
        "homes: [S1, S2]",
        "homes: [S1, '']",
        "site.buildings.South.homes.1: '' is not a name; a name is not empty and has no / or +",
    ),
    (
        "  fortune: {site: 10 %",
        "  order: [South]\n  fortune: {site: 10 %",
        "site.order: North is missing; the order lists every building",
    ),
    (
        "  fortune: {site: 10 %",
        "  order: [South, Nort, North]\n  fortune: {site: 10 %",
        "site.order: Nort is not a building: did you mean North?",
    ),
    (
        "paint: [boards + 3 d]",
        "paint: [bords + 3 d]",
        "finishing.sequences.usual.paint: waits for bords, which is not known: did you mean boards?",
    ),
    (
        "roof: [released, beam",
        "roof: [releesed, beam",
        "finishing.sequences.usual.roof: waits for releesed, which is not known: did you mean released?",
    ),
    (
        "certificate: [finals]",
        "certificat: [finals]",
        "finishing.sequences.usual.certificat: there is no task certificat in finishing.tasks: "
        "did you mean certificate?",
    ),
    ("sequence: usual", "sequence: usal", "finishing.sequence: there is no sequence usal: did you mean usual?"),
    (
        "ordered_after: walls",
        "ordered_after: wals",
        "finishing.tasks.windows.delivery.ordered_after: wals is not in the sequence usual: did you mean walls?",
    ),
    (
        "milestone: certificate",
        "milestone: released",
        "finishing.tasks.certificate.milestone: released is a milestone of a printed building already; "
        "take another name",
    ),
    (
        "crew: services, time: [2, 3, 5]",
        "crew: servces, time: [2, 3, 5]",
        "finishing.tasks.services.crew: no gang has the skill servces: did you mean services?",
    ),
    (
        "crew: services, time: [2, 3, 5]",
        "crew: plumbers, time: [2, 3, 5]",
        "finishing.tasks.services.crew: no gang has the skill plumbers: gangs, with their skills, are "
        "shell (print, rig, pour), roof, services, finishers; take one of them or add plumbers to crews",
    ),
    (
        "crew: pour, time: [0.7, 1, 1.5]",
        "crew: [pour, rig], time: [0.7, 1, 1.5]",
        "wall.tasks.beam.crew: pour, rig together need more gangs than there are with these skills",
    ),
    (
        "  roof: {size: 4, rate: 190}",
        "  idle: {size: 4, skills: [sweep, idle]}\n  roof: {size: 4, rate: 190}",
        "crews.idle: no task uses this gang; it can do sweep, idle",
    ),
    (
        "limits: indoors}",
        "limits: indoor}",
        "finishing.tasks.paint.limits: there are no limits indoor in weather.limits: did you mean indoors?",
    ),
    (
        "paint: {crew",
        "paint: {calendar: nights, crew",
        "finishing.tasks.paint.calendar: there is no calendar nights: known are site, print",
    ),
    (
        "finals: {by: building",
        "finals: {by: bulding",
        "inspections.points.finals.by: there is no inspector bulding: did you mean building?",
    ),
    (
        "finals: {by: building",
        "final: {by: building",
        "inspections.points.final: there is no task final: did you mean finals?",
    ),
    (
        "tasks: {gantry_up: 85 %",
        "tasks: {gantry_pu: 85 %",
        "learning.tasks.gantry_pu: there is no task gantry_pu: did you mean gantry_up?",
    ),
    (
        "gantry_leaves: cure",
        "gantry_leaves: beam",
        "relocation.gantry_leaves: the gantry leaves after beam and the tent after cure: "
        "a crane cannot lift it out under the raised tent",
    ),
    ("record: seattle-daily-2012-2015.csv", "record: nowhere.csv", "weather.record: there is no file nowhere.csv"),
]


@pytest.mark.parametrize(("before", "after", "fault"), WRONG_VALUES + CROSS_FAULTS, ids=lambda text: str(text)[:40])
def test_a_single_fault_is_told_at_its_line(tmp_path: Path, before: str, after: str, fault: str) -> None:
    path = changed(tmp_path, (before, after))
    line = line_with(path, after.splitlines()[0])
    assert lines_of(path) == [f"site.yaml:{line}  {fault}"]


def test_kinds_of_stops_have_names_of_their_own(tmp_path: Path) -> None:
    path = changed(tmp_path, ("name: printer fault", "name: partial blockage"))
    told = [(fault.path, fault.message) for fault in faults_of(path)]
    message = "partial blockage is the name of more than one kind of stop"
    assert told == [("breakdowns.0.name", message), ("breakdowns.1.name", message)]


def test_missing_keys_are_told_at_what_they_are_missing_from(tmp_path: Path) -> None:
    path = changed(tmp_path, ("  trucks: 3\n", ""), ("  latitude: 47.4       # of the weather station\n", ""))
    assert lines_of(path) == [
        f"site.yaml:{line_of_section(path, 'site')}  "
        "site.latitude: is missing; a daily weather record needs it, like 47.4, for sunrise",
        f"site.yaml:{line_of_section(path, 'supply')}  supply.trucks: is missing",
    ]


def test_a_printed_building_needs_the_sections_of_printing(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        "name: Wall\nsite: {start: 2027-03-01, buildings: {A: }}\n"
        "wall: {height: 1 m, layer_height: 40 mm, bead_width: 60 mm, path: 90 m}\n",
    )
    missing = [fault.path for fault in faults_of(path) if "is missing" in fault.message]
    assert missing == ["concrete", "crews", "printer", "pump", "relocation", "supply", "tent"]


def test_all_faults_come_at_once_those_of_values_with_those_between_sections(tmp_path: Path) -> None:
    path = changed(
        tmp_path,
        ("load: 2 m^3", "load: 2"),
        ("crew: finishers, time: [3, 4, 6]", "crew: finishers, tiem: [3, 4, 6]"),
        ("paint: [boards + 3 d]", "paint: [bords + 3 d]"),
        ("finals: {by: building", "finals: {by: bulding"),
        ("slab: 2027-04-26", "slab: 2027-02-30"),
    )
    assert [fault.path for fault in faults_of(path)] == [
        "site.buildings.South.slab",
        "supply.load",
        "inspections.points.finals.by",
        "finishing.tasks.boards.tiem",
        "finishing.sequences.usual.paint",
    ]


def test_what_hangs_on_a_wrong_value_is_not_told_besides(tmp_path: Path) -> None:
    path = changed(tmp_path, ("layer_height: 40 mm", "layer_height: 40"))
    assert [fault.path for fault in faults_of(path)] == ["wall.layer_height"]


def test_limits_that_are_wrong_themselves_are_not_missing_wherever_they_are_named(tmp_path: Path) -> None:
    path = changed(
        tmp_path, ("temperature: [5 degC, 32 degC], shelter: tent", "temperature: [5 C, 32 C], shelter: tent")
    )
    assert {fault.path for fault in faults_of(path)} == {"weather.limits.printing.temperature"}


def test_a_wrong_value_of_the_wall_is_told_once_though_buildings_take_it_over(tmp_path: Path) -> None:
    path = changed(
        tmp_path,
        ("bead_width: 60 mm", "bead_width: 60"),
        ("homes: [S1, S2], ", "homes: [S1, S2], wall: {layers_a_day: 5}, "),
    )
    assert [(fault.line, fault.message) for fault in faults_of(path)] == [
        (line_with(path, "bead_width: 60"), "60 has no unit; write it like 40 mm")
    ]


@pytest.mark.parametrize(
    ("units", "volume", "price"),
    [
        ("units: metric", "2 m^3", "250 /m^3"),
        ("units: us", "3 yd^3", "205 /yd^3"),
        ("# no units:", "2 m^3", "250 /m^3"),
    ],
)
def test_an_example_is_in_the_units_of_the_scenario(tmp_path: Path, units: str, volume: str, price: str) -> None:
    path = changed(tmp_path, ("units: metric", units), ("load: 2 m^3", "load: 2"), ("mix: 250 /m^3", "mix: 250 /h"))
    assert [fault.message for fault in faults_of(path)] == [
        f"2 has no unit; write it like {volume}",
        f"250 /h: /h is not a unit of the right kind; write it like {price}",
    ]


def test_the_error_prints_one_line_a_fault(tmp_path: Path) -> None:
    path = changed(tmp_path, ("load: 2 m^3", "load: 2"), ("trucks: 3", "trucks: 0"))
    with pytest.raises(ScenarioError) as error:
        load(path)
    assert str(error.value).splitlines() == [str(fault) for fault in error.value.faults]
    assert len(error.value.faults) == 2
