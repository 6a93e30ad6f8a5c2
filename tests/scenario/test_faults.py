"""Each fault: its file and line, its dotted path, what is wrong and what would be right."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from cases import changed, faults_of, line_with, lines_of, written
from everything import everything, everything_mixed

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
        f"site.yaml:{_line_of_section(path, 'site')}  "
        "site.latitude: is missing; a daily weather record needs it, like 47.4, for sunrise",
        f"site.yaml:{_line_of_section(path, 'supply')}  supply.trucks: is missing",
    ]


def _line_of_section(path: Path, section: str) -> int:
    return path.read_text().splitlines().index(f"{section}:") + 1


def test_a_printed_building_needs_the_sections_of_printing(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        "name: Wall\nsite: {start: 2027-03-01, buildings: {A: }}\n"
        "wall: {height: 1 m, layer_height: 40 mm, bead_width: 60 mm, path: 90 m}\n",
    )
    missing = [fault.path for fault in faults_of(path) if "is missing" in fault.message]
    assert missing == ["concrete", "crews", "printer", "pump", "relocation", "supply", "tent"]


def test_a_crane_does_not_lift_under_a_raised_tent(tmp_path: Path) -> None:
    path = changed(tmp_path, ("order: gantry-first", "order: tent-first"))
    assert [(fault.path, fault.message) for fault in faults_of(path)] == [
        (
            "relocation.gantry_lift",
            "a crane cannot lift the gantry under the raised tent; tent-first goes with telehandler",
        ),
        (
            "relocation.tasks.gantry_up.crane",
            "a crane cannot lift under the raised tent; tent-first goes with crane: false",
        ),
        (
            "relocation.tasks.gantry_down",
            "the gantry leaves after cure and the tent after cure: a crane cannot lift it out under the raised tent",
        ),
    ]


def test_a_telehandler_may_work_inside_the_tent(tmp_path: Path) -> None:
    path = changed(tmp_path)
    sets = (
        "relocation.order=tent-first",
        "relocation.gantry_lift=telehandler",
        "relocation.tasks.gantry_up.crane=false",
        "relocation.tasks.gantry_down.crane=false",
        "relocation.gantry_leaves=beam",
    )
    assert load(path, sets).model.relocation is not None


def test_a_circle_of_waiting_is_named(tmp_path: Path) -> None:
    path = changed(tmp_path, ("services: [roof]", "services: [roof, paint]"))
    (fault,) = faults_of(path)
    circle = fault.message.removeprefix("waits for itself: ").split(" -> ")
    assert circle[0] == circle[-1]
    assert set(circle) == {"services", "boards", "paint"}
    waits = {"services": "paint", "paint": "boards", "boards": "services"}
    assert all(waits[task] == awaited for task, awaited in pairwise(circle))


def test_a_delivery_ordered_after_its_own_task_is_a_circle(tmp_path: Path) -> None:
    path = changed(tmp_path, ("ordered_after: walls", "ordered_after: windows"))
    (fault,) = faults_of(path)
    assert fault.message == "waits for itself: windows -> windows"


def test_a_circle_across_two_sequences_is_told_and_does_not_hang(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        """
name: Circle
site: {start: 2027-03-01, buildings: {a: {sequence: one}, b: {sequence: two}}}
finishing:
  sequence: one
  tasks:
    X: {per: site, time: 1}
    Z: {per: site, time: 1}
    A: {time: 1}
    Y: {time: 1}
  sequences:
    one: {Z: , A: [Z], X: [A]}
    two: {X: , Y: [X], Z: [Y]}
""",
    )
    (fault,) = faults_of(path)
    assert fault.message.startswith("tasks wait for one another: ")
    assert set(fault.message.split(": ", 1)[1].split(" -> ")) == {"a/A", "site/X", "b/Y", "site/Z"}


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
    ("text", "fault"),
    [
        ("a: 1\na: 2\n", 'site.yaml:2  is not readable YAML: the same key "a" stands here twice; keep one of the two'),
        (
            "a: [1\nb: 2\n",
            "site.yaml:1  is not readable YAML: what begins here between [ and ] is not closed, or lacks a comma, "
            "before line 2",
        ),
        ("- a\n", "site.yaml:1  should be a mapping of sections such as 'site:' and 'wall:'"),
        ("", "site.yaml:1  should be a mapping of sections such as 'site:' and 'wall:'"),
        (
            "a: *b\n",
            "site.yaml:1  is not readable YAML: *b stands for a value marked &b, and there is none; a text that begins "
            "with * is quoted",
        ),
        ("a: 'b\nc: 2\n", "site.yaml:1  is not readable YAML: a quotation mark that is opened here is not closed"),
        (
            "a: b: c\n",
            "site.yaml:1  is not readable YAML: a second colon stands in this line; quote what is behind the first "
            "one, or put it on lines below",
        ),
        (
            "a: 1\nb:2\nc: 3\n",
            "site.yaml:2  is not readable YAML: 'b:2' is no key with its value; write it like key: value, with a space "
            "behind the colon",
        ),
        (
            "a:\n\tb: 1\n",
            "site.yaml:2  is not readable YAML: a tab stands where a key or a value should begin; indent with spaces",
        ),
        ("a: @b\n", "site.yaml:1  is not readable YAML: no value can begin with @; put it in quotation marks"),
        ("a: 1\n---\nb: 2\n", "site.yaml:2  is not readable YAML: --- begins a second document here; a file is one"),
        ("a: \x01\n", "site.yaml:1  is not readable YAML: a character here is no text; take it out"),
        (
            "a: 1\n- b\n",
            "site.yaml:2  is not readable YAML: a list entry stands among keys; indent it under the key that it "
            "belongs to",
        ),
    ],
)
def test_what_is_not_yaml_is_a_fault_with_its_line(tmp_path: Path, text: str, fault: str) -> None:
    assert lines_of(written(tmp_path, text)) == [fault]


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


@pytest.mark.parametrize(
    ("text", "line", "spaces", "right"),
    [
        (
            "site:\n  start: 1\n   horizon: 3\n",
            3,
            "3 spaces are",
            "2 to stand beside line 2 or 0 to stand beside line 1",
        ),
        ("site:\n  start: {a: 1}\n   horizon: 3\n", 3, "3 spaces are", "2 to stand beside line 2 or 0 to stand"),
        ("site:\n  start: 1\n   homes:\n    A:\n", 3, "3 spaces are", "2 to stand beside line 2 or 0 to stand"),
        ("a: {x: [1,\n   2]}\n b: 2\n", 3, "1 space is", "0 to stand beside line 1"),
        ("a:\n    b: 1\n  c: 3\n", 3, "2 spaces are", "4 to stand beside line 2 or 0 to stand beside line 1"),
        ("a:\n  b: 1\n # no\n\n c: 3\n", 5, "1 space is", "2 to stand beside line 2 or 0 to stand beside line 1"),
        ("a:\n  - b: 1\n   c: 2\n", 3, "3 spaces are", "4 to stand beside line 2 or 2 to stand beside line 2 or 0 to"),
        (" a: 1\nb: 2\n", 2, "0 spaces are", "1 to stand beside line 1"),
    ],
)
def test_a_line_that_is_indented_wrongly_is_told_with_what_would_fit(
    tmp_path: Path, text: str, line: int, spaces: str, right: str
) -> None:
    (fault,) = faults_of(written(tmp_path, text))
    assert fault.line == line
    assert fault.message.startswith(
        "is not readable YAML: the indentation does not fit to that of the lines before: "
        f"{spaces} written, right would be {right}"
    )


def test_a_file_that_is_not_there_is_a_fault(tmp_path: Path) -> None:
    assert lines_of(tmp_path / "none.yaml") == ["none.yaml  cannot be read: No such file or directory"]


def test_a_file_that_is_not_text_is_a_fault(tmp_path: Path) -> None:
    path = tmp_path / "site.yaml"
    path.write_bytes(b"\xff\xfe\x00")
    assert lines_of(path) == ["site.yaml  is not text in UTF-8"]


def test_a_fault_of_the_weather_record_is_told_at_the_records_own_line(tmp_path: Path) -> None:
    path = changed(tmp_path)
    record = tmp_path / "seattle-daily-2012-2015.csv"
    rows = record.read_text().splitlines()
    day, _, others = rows[9].split(",", 2)
    rows[9] = f"{day},much,{others}"
    record.write_text("\n".join(rows))
    (fault,) = faults_of(path)
    assert (Path(fault.file).name, fault.line, fault.path) == (record.name, 10, "weather.record")
    assert "'much' is not a number" in fault.message


def test_an_observed_file_that_cannot_be_read_names_its_line(tmp_path: Path) -> None:
    (tmp_path / "times.csv").write_text("2\n3 wd\nlong\n")
    path = changed(tmp_path, ("time: [2, 3, 5]", "time: {observed: times.csv}"))
    (fault,) = faults_of(path)
    assert fault.message == "times.csv:3: 'long' is not a length of time; write it like [1.5, 2, 3.5]"


def test_the_error_prints_one_line_a_fault(tmp_path: Path) -> None:
    path = changed(tmp_path, ("load: 2 m^3", "load: 2"), ("trucks: 3", "trucks: 0"))
    with pytest.raises(ScenarioError) as error:
        load(path)
    assert str(error.value).splitlines() == [str(fault) for fault in error.value.faults]
    assert len(error.value.faults) == 2


# ------------------------------------------------------------------ supply and print days that have everything


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
        assert lines_of(path) == [f"site.yaml:{_line_of_section(path, 'supply')}  supply: {fault}"]


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


# ------------------------------------------------------------------------------------------------------------- weather


def weather_faults(folder: Path, *sets: str) -> list[str]:
    """Give what is wrong once settings are laid over the scenario to start from, without where they stand."""
    return [fault.message for fault in faults_of(changed(folder), *sets)]


@pytest.mark.parametrize(
    ("setting", "message"),
    [
        ("weather.draw=often", "often should be blocks, years, or a year of the record like 2013"),
        ("weather.draw=2016", "the record has no whole year 2016; it has 2012, 2013, 2014, 2015"),
        (
            "weather.gust_factor=breezy",
            "breezy is no gust factor; write a number like 1.5, or one of hour_open_country,",
        ),
        ("weather.time_zone=Europe/Londn", "Europe/Londn is not a time zone; did you mean Europe/London?"),
        ("weather.clock=utc", "times in utc need the site's time zone: weather.time_zone, like America/Los_Angeles"),
        (
            "weather.columns.wind={name: wind_mean_m_s, unit: degC}",
            "column wind_mean_m_s: degC is not a unit of the right",
        ),
        ("weather.columns.wind=breeze", "no column breeze for wind; the file has date, precipitation_mm,"),
        ("weather.limits.lift.height=1 m", "1 m is too little, it should be at least 2 m"),
        ("weather.limits.roof.after_rain=900 h", "900 h is too much, it should be at most 720 h"),
        ("weather.limits.roof.humidity=120 %", "120 % is too much, it should be at most 1 (100 %)"),
        (
            "site.latitude=-47.4",
            "-47.4° is south of the equator, but in the weather record July is warmer than January;",
        ),
    ],
)
def test_what_is_wrong_about_weather_is_named(tmp_path: Path, setting: str, message: str) -> None:
    (found,) = weather_faults(tmp_path, setting)
    assert found.startswith(message)


@pytest.mark.parametrize(
    ("setting", "message"),
    [
        # The record's hottest hour has 35.6 °C; the indoor heater adds nothing above its 15 °C.
        ("weather.limits.indoors.temperature=[40 degC, 60 degC]", "40.0 °C or more; the nearest has 35.6 °C or more"),
        # Its coldest has -7.1 °C, which the heater of 10 °C lifts to 2.9.
        ("weather.limits.indoors.temperature=[-50 degC, 2 degC]", "2.0 °C or less; the nearest has 2.9 °C or less"),
        (
            "weather.limits.roof.frost={over: 1 h, below: 40 degC}",
            "a mean of 40.0 °C before; the nearest has a mean of 35.6 °C",
        ),
    ],
)
def test_a_limit_that_no_hour_meets_is_named_with_the_nearest_value(tmp_path: Path, setting: str, message: str) -> None:
    (found,) = weather_faults(tmp_path, setting)
    assert found.startswith(f"no hour of the record is within {message}")


def test_limits_that_no_hour_meets_together_name_the_one_that_shuts_most(tmp_path: Path) -> None:
    (found,) = weather_faults(
        tmp_path, "weather.limits.roof={temperature: [30 degC, 60 degC], humidity: 10 %, gust: 11 m/s}"
    )
    assert found.startswith("no hour of the record is within a humidity of 10 %")
    together = "weather.limits.roof={temperature: [33 degC, 60 degC], after_rain: 700 h}"
    (found,) = weather_faults(tmp_path / "more", together)
    assert found.startswith("each limit is met in some hours, but no hour of the record meets all of them; without ")


def test_a_limit_under_which_nothing_is_done_is_not_looked_at(tmp_path: Path) -> None:
    idle = "    idle: {temperature: [50 degC, 60 degC]}\n    lift: {gust: 9 m/s}"
    scenario = load(changed(tmp_path, ("    lift: {gust: 9 m/s}", idle)))
    assert "idle" in scenario.plan().climate.limits
    assert "idle" not in scenario.plan().kinds_of_work


@pytest.mark.parametrize(
    "line",
    [
        'weather: {record: "a\\0.csv"}',
        'finishing: {tasks: "a\\0.csv"}',
        'crews: {roof: {notice: {observed: "a\\0.csv"}}}',
        'extends: "a\\0.yaml"',
    ],
)
def test_a_name_that_no_file_can_have_is_a_fault_at_its_line(tmp_path: Path, line: str) -> None:
    changed(tmp_path)
    above = "" if line.startswith("extends") else "extends: site.yaml\n"
    (found,) = lines_of(written(tmp_path, f"{above}{line}\n", "top.yaml"))
    assert found.startswith(f"top.yaml:{1 + above.count(chr(10))}  {line.split(':')[0]}")
    assert "there is no file" in found or "is not the name of a" in found
