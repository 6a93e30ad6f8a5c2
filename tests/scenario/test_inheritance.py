"""Laying scenarios over one another: extends, settings, own walls, and what a scenario is known by."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from cases import DEMO, SCENARIOS, changed, faults_of, line_with, lines_of, written

from sitesim.scenario import load
from sitesim.scenario.sections.supply import ReadyMixSupply, SiteMixing


def test_mappings_merge_lists_replace_and_chains_go_on(tmp_path: Path) -> None:
    changed(tmp_path)
    written(tmp_path, "extends: site.yaml\nsupply: {spacing: 90 min, trucks: 4}\nbreakdowns: []\n", "middle.yaml")
    top = written(tmp_path, "extends: middle.yaml\nname: Top\nsupply: {spacing: 100 min}\n", "top.yaml")
    scenario = load(top)
    supply = scenario.model.supply
    assert isinstance(supply, ReadyMixSupply)
    assert scenario.name == "Top"
    assert supply.spacing == pytest.approx(100 / 60, abs=1e-3)  # from the top
    assert supply.trucks == 4  # from the middle
    assert supply.load == 2.0  # from the bottom
    assert scenario.model.breakdowns == ()
    assert "extends" not in scenario.resolved


def test_faults_stand_at_the_file_that_says_so(tmp_path: Path) -> None:
    site = changed(tmp_path, ("trucks: 3", "trucks: 0"))
    top = written(tmp_path, "extends: site.yaml\nname: Top\n\nsupply:\n  spacing: 90\n", "top.yaml")
    assert lines_of(top) == [
        f"site.yaml:{line_with(site, 'trucks: 0')}  supply.trucks: 0 is too little, it should be at least 1",
        "top.yaml:5  supply.spacing: 90 has no unit; write it like 45 min",
    ]


def test_a_circle_of_files_is_named(tmp_path: Path) -> None:
    written(tmp_path, "extends: b.yaml\n", "a.yaml")
    written(tmp_path, "name: B\nextends: a.yaml\n", "b.yaml")
    assert lines_of(tmp_path / "a.yaml") == [
        "b.yaml:2  extends: the files extend one another: a.yaml -> b.yaml -> a.yaml"
    ]


def test_a_parent_that_is_not_there_is_a_fault_of_the_child(tmp_path: Path) -> None:
    path = written(tmp_path, "name: A\nextends: nowhere.yaml\n")
    (fault,) = faults_of(path)
    assert (fault.line, fault.path) == (2, "extends")
    assert "there is no file" in fault.message


def test_settings_come_last_and_read_yaml(tmp_path: Path) -> None:
    path = changed(tmp_path)
    sets = ["supply.spacing=90 min", "site.buildings.North.layers_a_day=7", "wall.stops.0.time=30 min", "units=us"]
    model = load(path, sets).model
    assert isinstance(model.supply, ReadyMixSupply)
    assert model.supply.spacing == 1.5
    assert model.site.buildings["North"].layers_a_day == 7
    assert model.wall is not None
    assert model.wall.stops[0].time == 0.5
    assert model.units == "us"


def test_a_setting_may_name_a_section_that_is_not_written(tmp_path: Path) -> None:
    path = changed(tmp_path, ("\npromise: {confidence: 80 %}\n", "\n"))
    assert load(path, ["promise.confidence=0.9"]).confidence == 0.9


@pytest.mark.parametrize(
    ("setting", "path", "message"),
    [
        ("supply.spacng=90 min", "supply.spacng", "spacng is not known here: did you mean spacing?"),
        ("suply.spacing=90 min", "suply", "suply is not known here: did you mean supply?"),
        (
            "site.buildings.Nrth.slab=2027-05-01",
            "site.buildings.Nrth",
            "Nrth is not known here: did you mean North? (--set only changes what is there; a new Nrth goes into a "
            "file that begins with extends: site.yaml)",
        ),
        (
            "calendar.plant={days: mon-fri, hours: ['07:00-12:00']}",
            "calendar.plant",
            "plant is not known here: known are site, print (--set only changes what is there; a new plant goes into a "
            "file that begins with extends: site.yaml)",
        ),
        ("weather.lmits.roof.gust=9 m/s", "weather.lmits", "lmits is not known here: did you mean limits?"),
        ("wall.stops.3.time=1 h", "wall.stops.3.time", "wall.stops is a list of 1, counted from 0: there is no 3"),
        ("supply.load.size=1", "supply.load.size", "supply.load is '2 m^3', which has nothing inside it"),
        ("supply.spacing", "", "should be path=value, such as supply.spacing='90 min'"),
        ("supply.spacing=[90", "supply.spacing", "'[90' is not a value that can be read"),
        ("supply.spacing=90", "supply.spacing", "90 has no unit; write it like 45 min"),
    ],
)
def test_a_setting_that_cannot_be_is_a_fault(tmp_path: Path, setting: str, path: str, message: str) -> None:
    (fault,) = faults_of(changed(tmp_path), setting)
    assert (fault.file, fault.line, fault.path, fault.message) == (f"--set {setting}", 0, path, message)


def test_what_is_new_goes_into_a_file_that_extends_the_other(tmp_path: Path) -> None:
    changed(tmp_path)
    added = "extends: site.yaml\ncalendar:\n  plant: {days: mon-fri, hours: ['07:00-12:00']}\n"
    top = written(tmp_path, added, "top.yaml")
    calendars = load(top, ["calendar.plant.days=mon-thu"]).model.calendars
    assert (calendars["plant"].days, calendars["plant"].hours) == ((0, 1, 2, 3), ((7.0, 12.0),))
    assert "site" in calendars


def test_a_setting_changes_the_mode_and_drops_the_other_modes_keys(tmp_path: Path) -> None:
    path = changed(tmp_path)
    sets = ["supply.mode=site-mixing", "supply.batch=0.25 m^3", "supply.cycle=8 min"]
    assert isinstance(load(path, sets).model.supply, SiteMixing)


def test_a_building_lays_its_own_part_over_the_wall(tmp_path: Path) -> None:
    path = changed(
        tmp_path, ("homes: [S1, S2], ", "homes: [S1, S2], wall: {bead_width: 50 mm, joint_steel: {every: 5}}, ")
    )
    scenario = load(path)
    north, south = (scenario.model.walls[name] for name in ("North", "South"))
    assert (north.bead_width, south.bead_width) == (0.06, 0.05)
    assert south.height == north.height
    assert south.joint_steel is not None
    assert (south.joint_steel.every, south.joint_steel.time) == (5, 0.25)


def test_a_fault_in_a_buildings_own_wall_stands_where_it_is_written(tmp_path: Path) -> None:
    path = changed(tmp_path, ("homes: [S1, S2], ", "homes: [S1, S2], wall: {height: 2.5 m}, "))
    line = line_with(path, "wall: {height: 2.5 m}")
    assert lines_of(path) == [
        f"site.yaml:{line}  site.buildings.South.wall.height: 2.5 m is not a whole number of layers of 40 mm: "
        "62 make 2.48 m, 63 make 2.52 m"
    ]


def test_a_building_without_a_wall_plays_finishing_only(tmp_path: Path) -> None:
    path = changed(
        tmp_path,
        ("homes: [S1, S2], slab: 2027-04-26", "homes: [S1, S2], wall: none, sequence: unprinted"),
        ("  sequences:  ", "  sequences: # "),
        ("    usual:\n", "    unprinted: {roof: , boards: [roof], paint: [boards]}\n    usual:\n"),
    )
    plan = load(path).plan()
    north, south = plan.buildings
    assert north.shell is not None
    assert south.shell is None
    assert {node.task.name for node in plan.nodes if node.building == 1} == {"roof", "boards", "paint"}


def test_the_same_content_has_the_same_digest_wherever_it_lies(tmp_path: Path) -> None:
    shutil.copytree(SCENARIOS, tmp_path / "moved" / "deeper")
    variant = "tern-quay-winter-start.yaml"
    here, there = load(SCENARIOS / variant), load(tmp_path / "moved" / "deeper" / variant)
    assert here.digest == there.digest == load(SCENARIOS / variant).digest
    assert len({here.digest, load(DEMO).digest, load(DEMO, ["supply.trucks=4"]).digest}) == 3


def test_the_digest_sees_the_bytes_of_data_files(tmp_path: Path) -> None:
    path = changed(tmp_path)
    before = load(path).digest
    record = tmp_path / "seattle-daily-2012-2015.csv"
    record.write_text(record.read_text().replace("2012-01-02,10.9", "2012-01-02,11.9"))
    assert load(path).digest != before


def test_data_files_are_found_from_the_file_that_names_them(tmp_path: Path) -> None:
    inner = tmp_path / "inner"
    inner.mkdir()
    changed(inner, ("record: seattle", "record: ./seattle"))
    (tmp_path / "times.csv").write_text("2\n3\n4\n")
    top = written(
        tmp_path,
        "extends: inner/site.yaml\nfinishing: {tasks: {boards: {time: {observed: times.csv}}}}\n",
        "top.yaml",
    )
    scenario = load(top)
    assert scenario.model.finishing_tasks["boards"].time.mean == 24.0
    assert {name: path.parent for name, path in scenario.data_files().items()} == {
        "seattle-daily-2012-2015.csv": inner,
        "times.csv": tmp_path,
    }


def test_the_resolved_scenario_loads_again_beside_its_data_files(tmp_path: Path) -> None:
    scenario = load(SCENARIOS / "tern-quay-site-mixing.yaml", ["site.buildings.B.wall={layers_a_day: 9}"])
    folder = tmp_path / "outputs" / "run"
    folder.mkdir(parents=True)
    (folder / "scenario.yaml").write_text(scenario.resolved_yaml())
    for name, path in scenario.data_files().items():
        shutil.copyfile(path, folder / name)
    again = load(folder / "scenario.yaml")
    assert again.digest == scenario.digest
    assert again.plan().nodes == scenario.plan().nodes
    assert again.plan().buildings == scenario.plan().buildings
    assert str(tmp_path) not in scenario.resolved_yaml()
    assert str(SCENARIOS) not in scenario.resolved_yaml()


def test_two_data_files_of_one_name_stay_apart(tmp_path: Path) -> None:
    for folder, value in (("a", "2"), ("b", "4")):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "times.csv").write_text(value)
    path = changed(
        tmp_path,
        ("time: [3, 4, 6]", "time: {observed: a/times.csv}"),
        ("time: [2, 3, 5]", "time: {observed: b/times.csv}"),
    )
    scenario = load(path)
    assert {scenario.model.finishing_tasks[task].time.mean for task in ("boards", "services")} == {16.0, 32.0}
    assert {"times.csv", "times-2.csv"} <= set(scenario.data_files())
