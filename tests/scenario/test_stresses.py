"""Lists of stresses: how they are read, and what each kind changes.

Kind of the tests: examples; recomputed from what is written.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from cases import DEMO, SCENARIOS, plain_network, written
from stressed import Facts, changed_by, laid_over

from sitesim.scenario import Scenario, ScenarioError, load
from sitesim.scenario.stresses import read_stresses, usual_stresses, usual_text
from sitesim.scenario.variants import lay_over


def test_the_usual_list_can_be_read_and_copied(tmp_path: Path) -> None:
    copy = tmp_path / "my-list.yaml"
    copy.write_text(usual_text())
    assert [one.name for one in read_stresses(copy)] == [one.name for one in usual_stresses()]
    assert len(usual_stresses()) >= 18


def test_the_usual_list_has_what_is_asked_for() -> None:
    names = " ".join(one.name.casefold() for one in usual_stresses())
    for thing in ("rain", "colder", "wind", "worst year", "start", "inspectors", "fail", "gang missing", "plant"):
        assert thing in names
    for thing in ("trucks", "printer down for two weeks", "windows four weeks late", "utility", "learn", "tent lost"):
        assert thing in names
    assert sum(bool(one.parts) for one in usual_stresses()) >= 2


def test_every_usual_stress_applies_to_the_demo(demo: Scenario) -> None:
    assert [one.why_not for one in lay_over(demo, (), usual_stresses(), Facts())] == [""] * len(usual_stresses())


def test_all_faults_are_told_at_once_with_their_lines(tmp_path: Path) -> None:
    file = written(
        tmp_path,
        """\
stresses:
  - name: A
    valeus: {supply.trucks: 2}
  - name: A
    later: {supply.gaet: 30 min}
  - name: B
    later: {inspections.inspectors.*.notice: 3 weeks}
  - {name: C, together: [X]}
  - {name: D, gang_missing: {gang: shell, lasts: 14 d}}
  - {name: E, weather: {rain_lasts: 0.5}}
  - {name: F}
  - {name: G, factors: {inspections.points.*.fials: 2}}
  - {name: H, plant_closed: {on: [2027-05-03], lasts: 3 d}}
""",
        "list.yaml",
    )
    with pytest.raises(ScenarioError) as error:
        read_stresses(file)
    assert [str(fault).replace(f"{tmp_path}/", "") for fault in error.value.faults] == [
        "list.yaml:3  stresses.0.valeus: is not known here: did you mean values?",
        "list.yaml:4  stresses.1.name: A is the name of two stresses",
        "list.yaml:5  stresses.1.later.supply.gaet: gaet is not known here: did you mean gate?",
        "list.yaml:7  stresses.2.later.inspections.inspectors.*.notice: 3 weeks would be 504 hours of work; write "
        "working days: 3 wd",
        "list.yaml:8  stresses.3.together: there is no stress X further up: known are A, B",
        "list.yaml:9  stresses.4.gang_missing: should say when it begins, by one of: starts: 2027-06-07, week: 12, "
        "at: 40 %",
        "list.yaml:10  stresses.5.weather.rain_lasts: 0.5 is too little, it should be at least 1",
        "list.yaml:11  stresses.6: F changes nothing; write one of values, factors, later, delivery_late, start_later, "
        "slower_learning, weather, worst_year, gang_missing, plant_closed, printer_down, tent_lost, together",
        "list.yaml:12  stresses.7.factors.inspections.points.*.fials: fials is not known here: did you mean fails?",
        "list.yaml:13  stresses.8.plant_closed: should say on: [2027-05-03, 2027-05-10], or how long it lasts and one "
        "of: starts: 2027-06-07, week: 12, at: 40 %, when: most printing",
    ]


@pytest.mark.parametrize(
    ("together", "fault"),
    [
        ("0", "there is no stress 0 further up: known are A"),
        ("[A, 0]", "there is no stress 0 further up: known are A"),
        ("''", "'' is not a name; a name is not empty and has no / or +"),
        ("{A: B}", "{'A': 'B'} is not a name; a name is not empty and has no / or +"),
    ],
)
def test_what_comes_together_has_to_be_a_name_further_up(tmp_path: Path, together: str, fault: str) -> None:
    lines = ["stresses:", "  - {name: A, values: {supply.trucks: 2}}", f"  - {{name: B, together: {together}}}"]
    file = written(tmp_path, "\n".join(lines), "list.yaml")
    with pytest.raises(ScenarioError) as error:
        read_stresses(file)
    assert [(one.line, one.message) for one in error.value.faults] == [(3, fault)]


def test_amounts_have_units_and_each_fault_its_own_line(tmp_path: Path) -> None:
    file = written(
        tmp_path,
        """\
stresses:
  - name: A
    later:
      inspections.inspectors.*.notice: 3 wd
      supply.gate: 30
      supply.wash: 10 mph
      supply.trucks: 2 h
      supply.haul: [1 h, 2 h, 3 h]
  - name: B
    start_later: 3 weeks
  - name: C
    weather:
      wind: 10 mph
      colder: 3
  - name: D
    factors:
      supply.trucks: 3 h
  - name: E
    delivery_late:
      of: windows
      by: 20 d
  - name: F
    slower_learning: 50 h
  - name: G
    gang_missing:
      gang: roof
      at: 40 h
      lasts: 14
""",
        "list.yaml",
    )
    with pytest.raises(ScenarioError) as error:
        read_stresses(file)
    assert [str(fault).replace(f"{tmp_path}/", "") for fault in error.value.faults] == [
        "list.yaml:5  stresses.0.later.supply.gate: 30 has no unit; write it like 45 min",
        "list.yaml:6  stresses.0.later.supply.wash: 10 mph: mph is not a unit of the right kind; write it like 45 min",
        "list.yaml:7  stresses.0.later.supply.trucks: supply.trucks is not a length of time to add to",
        "list.yaml:8  stresses.0.later.supply.haul: what is added should be one value, such as 3 wd",
        "list.yaml:10  stresses.1.start_later: 3 weeks: a start is moved by whole months; write it like 3 months",
        "list.yaml:13  stresses.2.weather.wind: 10 mph: mph is not a unit of the right kind; write it like 1.5",
        "list.yaml:14  stresses.2.weather.colder: 3 has no unit; write it like 12 delta_degC",
        "list.yaml:17  stresses.3.factors.supply.trucks: 3 h: h is not a unit of the right kind; write it like 1.5",
        "list.yaml:21  stresses.4.delivery_late.by: 20 d would be 480 hours of work; write working days: 20 wd",
        "list.yaml:23  stresses.5.slower_learning: 50 h: h is not a unit of the right kind; write it like 15 %",
        "list.yaml:27  stresses.6.gang_missing.at: 40 h: h is not a unit of the right kind; write it like 15 %",
        "list.yaml:28  stresses.6.gang_missing.lasts: 14 has no unit; write it like 10 d",
    ]


@pytest.mark.parametrize(
    ("with_a_unit", "without"),
    [
        ("start_later: 3 months", "start_later: 3"),
        ("start_later: 1 year", "start_later: 12"),
        ("start_later: -1 month", "start_later: -1"),
        ("delivery_late: {of: windows, by: 20 wd}", "delivery_late: {of: windows, by: 20}"),
        ("weather: {wind: 125 %}", "weather: {wind: 1.25}"),
        ("factors: {inspections.points.*.fails: 200 %}", "factors: {inspections.points.*.fails: 2}"),
        ("slower_learning: 50 %", "slower_learning: 0.5"),
        ("later: {supply.gate: 0.5 h}", "later: {supply.gate: 30 min}"),
    ],
)
def test_an_amount_with_its_unit_is_what_it_is_without(
    demo: Scenario, tmp_path: Path, with_a_unit: str, without: str
) -> None:
    said, bare = (changed_by(demo, tmp_path, change) for change in (with_a_unit, without))
    assert said == bare


def test_a_value_is_told_at_its_own_line(demo: Scenario, tmp_path: Path) -> None:
    with pytest.raises(ScenarioError) as error:
        laid_over(
            demo,
            tmp_path,
            "stresses:\n  - name: A\n    values:\n      supply.trucks: 2\n      supply.gate: 30\n"
            "  - name: B\n    later:\n      supply.wash: 1 min\n      supply.gate: 400 h\n",
        )
    assert [(fault.line, fault.path) for fault in error.value.faults] == [(5, "supply.gate"), (9, "supply.gate")]


def test_a_value_that_no_scenario_can_have_is_told_where_the_stress_is_written(demo: Scenario, tmp_path: Path) -> None:
    with pytest.raises(ScenarioError) as error:
        laid_over(demo, tmp_path, "stresses:\n  - name: No trucks\n    values: {supply.trucks: 0}\n")
    (fault,) = error.value.faults
    assert (Path(fault.file).name, fault.line, fault.path) == ("stresses.yaml", 3, "supply.trucks")
    assert "at least 1" in fault.message


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ("values: {supply.trucks: 4}", {"supply.trucks": 4}),
        ("factors: {supply.haul: 1.5}", {"supply.haul.p50": "90 min", "supply.haul.p90": "108 min"}),
        ("later: {supply.gate: 30 min}", {"supply.gate": f"{40 / 60:.12g} h"}),
        (
            "delivery_late: {of: windows, by: 20 wd}",
            {
                f"finishing.tasks.windows.delivery.lead.{i}": f"{8 * (20 + lead)} h"
                for i, lead in enumerate((8, 12, 20))
            },
        ),
        (
            "delivery_late: {of: utility, by: 1 wd}",
            {
                f"finishing.tasks.services_finals.delivery.lead.{i}": f"{8 * (1 + lead)} h"
                for i, lead in enumerate((15, 25, 45))
            },
        ),
        (
            "slower_learning: 50 %",
            {
                "learning.default": 0.975,
                **{f"learning.tasks.{task}": 0.925 for task in ("gantry_up", "tent_up", "calibrate", "tent_down")},
                "learning.tasks.gantry_down": 0.925,
            },
        ),
        (
            "weather: {wind: 1.25, colder: 3 delta_degC}",
            {"trouble.weather.wind": 1.25, "trouble.weather.colder": "3 delta_degC"},
        ),
        ("worst_year: true", {"trouble.weather.year": 2013}),
        (
            "gang_missing: {gang: busiest, at: 40 %, lasts: 14 d}",
            # 80 days after 1 March is 20 May, a Thursday; the Monday before it is taken
            {
                "trouble.missing.0.gang": "shell",
                "trouble.missing.0.first": "2027-05-17",
                "trouble.missing.0.lasts": "14 d",
            },
        ),
        (
            "gang_missing: {gang: roof, week: 12, lasts: 7 d}",
            {
                "trouble.missing.0.gang": "roof",
                "trouble.missing.0.first": "2027-05-17",
                "trouble.missing.0.lasts": "7 d",
            },
        ),
        (
            "plant_closed: {on: [2027-05-03, 2027-05-10]}",
            {
                "supply.outages.0.name": "plant closed",
                "supply.outages.0.of": "plant",
                "supply.outages.0.on.0": "2027-05-03",
                "supply.outages.0.on.1": "2027-05-10",
            },
        ),
        (
            "plant_closed: {when: most printing, lasts: 7 d}",
            # print days by week from Monday 1 March: 2, 1, 4, 4, 1; of the two with four the first, from the 15th
            {
                "supply.outages.0.name": "plant closed",
                "supply.outages.0.of": "plant",
                **{f"supply.outages.0.on.{day}": f"2027-03-{15 + day}" for day in range(7)},
            },
        ),
        (
            "printer_down: {lasts: 2 weeks}",
            # the middle row, and the end of the print day at or past half of its 67 layers
            {
                "trouble.printer_down.0.building": "C",
                "trouble.printer_down.0.after_layer": 41,
                "trouble.printer_down.0.lasts": "14 d",
            },
        ),
        (
            "tent_lost: {building: B, after_layer: 15, lasts: 21 d}",
            {
                "trouble.tent_lost.0.building": "B",
                "trouble.tent_lost.0.after_layer": 15,
                "trouble.tent_lost.0.lasts": "21 d",
            },
        ),
    ],
    ids=lambda value: value.split(":")[0] if isinstance(value, str) else "",
)
def test_it_changes_that_and_nothing_else(
    demo: Scenario, tmp_path: Path, change: str, expected: dict[str, Any]
) -> None:
    assert changed_by(demo, tmp_path, change) == expected


def test_a_closed_plant_has_a_name_that_no_outage_has_yet(tmp_path: Path) -> None:
    for known, name in (("plant closed", "plant closed 2"), ("plant closed 2", "plant closed")):
        outage = f"{{name: {known}, of: plant, on: [2027-05-03]}}"
        path = written(tmp_path, f"extends: {DEMO}\nsupply: {{outages: [{outage}]}}\n")
        found = changed_by(load(path), tmp_path, "plant_closed: {on: [2027-05-10]}")
        assert found["supply.outages.1.name"] == name


def test_a_star_stands_for_every_name(demo: Scenario, tmp_path: Path) -> None:
    found = changed_by(demo, tmp_path, "factors: {inspections.points.*.fails: 2}")
    assert found["inspections.points.tent_up.fails"] == "16 %"
    assert found["inspections.points.services_finals.fails"] == "50 %"
    assert len(found) == 9


def test_inspections_fail_more_often_at_layers_of_walls_as_after_tasks(demo: Scenario, tmp_path: Path) -> None:
    (stress,) = (each for each in usual_stresses() if each.name == "Inspections fail twice as often")
    (one,) = lay_over(demo, (), (stress,), Facts())
    assert one.scenario is not None
    found = one.scenario.resolved
    assert demo.resolved["wall"]["points"][1]["fails"] == "10 %"
    assert found["wall"]["points"][1]["fails"] == "20 %"
    assert "fails" not in found["wall"]["points"][0]  # a witness
    assert found["inspections"]["points"]["tent_up"]["fails"] == "16 %"


def test_they_do_at_the_walls_of_one_building_too(demo: Scenario, tmp_path: Path) -> None:
    own = "site.buildings.B.wall={points: [{name: ties, layer: 9, by: special, fails: 10 %, rework: [1, 1, 2]}]}"
    (stress,) = (each for each in usual_stresses() if each.name == "Inspections fail twice as often")
    (one,) = lay_over(load(DEMO, (own,)), (own,), (stress,), Facts())
    assert one.scenario is not None
    walls = one.scenario.model.walls
    assert [point.fails for point in walls["B"].points] == [pytest.approx(0.2)]
    assert walls["A"].points[1].fails == pytest.approx(0.2)


def test_of_several_paths_with_a_star_some_may_lead_nowhere_but_no_plain_one(tmp_path: Path) -> None:
    scenario = plain_network(tmp_path, "{paint: {time: [1, 2, 3]}}", "{paint: }")
    listed = """\
stresses:
  - {name: Some, factors: {wall.points.*.fails: 2, finishing.tasks.*.time: 2}}
  - {name: None, factors: {wall.points.*.fails: 2, inspections.points.*.fails: 2}}
  - {name: Plain, factors: {finishing.tasks.*.time: 2, supply.gate: 2}}
"""
    some, none, plain = laid_over(scenario, tmp_path, listed)
    assert some.scenario is not None
    assert none.why_not == "the scenario says nothing of wall"
    assert plain.why_not == "the scenario says nothing of supply"


def test_a_share_does_not_grow_beyond_the_whole(demo: Scenario, tmp_path: Path) -> None:
    found = changed_by(demo, tmp_path, "factors: {inspections.points.*.fails: 5}")
    assert found["inspections.points.services_finals.fails"] == "100 %"


def test_what_is_not_written_is_lengthened_from_what_the_model_takes(demo: Scenario, tmp_path: Path) -> None:
    text = DEMO.read_text().replace("  gate: 10 min ", "  # gate: ")
    path = tmp_path / "site.yaml"
    path.write_text(text.replace("weather/seattle", f"{SCENARIOS}/weather/seattle"))
    assert changed_by(load(path), tmp_path, "later: {supply.gate: 30 min}") == {"supply.gate": "0.5 h"}


def test_what_comes_together_is_all_of_its_parts(demo: Scenario, tmp_path: Path) -> None:
    first, second, both = laid_over(
        demo,
        tmp_path,
        """\
stresses:
  - {name: First, factors: {supply.haul: 2}}
  - {name: Second, values: {supply.trucks: 5}}
  - {name: Both, together: [First, Second], later: {supply.gate: 5 min}}
""",
    )
    assert both.laid.parts == ("First", "Second")
    assert both.scenario is not None
    assert both.scenario.resolved["supply"]["trucks"] == 5
    assert both.scenario.resolved["supply"]["haul"] == {"p50": "120 min", "p90": "144 min"}
    assert both.scenario.resolved["supply"]["gate"] == "0.25 h"
    assert first.scenario is not None
    assert first.scenario.resolved["supply"]["gate"] == "10 min"
    assert second.scenario is not None


def test_settings_stay_under_stress() -> None:
    sets = ["supply.trucks=5"]
    (one,) = lay_over(load(DEMO, sets), sets, usual_stresses()[1:2], Facts())
    assert one.scenario is not None
    assert one.scenario.resolved["supply"]["trucks"] == 5


def test_a_scenario_under_stress_loads_again_from_what_is_kept(demo: Scenario, tmp_path: Path) -> None:
    for one in lay_over(demo, (), usual_stresses(), Facts()):
        assert one.scenario is not None
        for name, path in one.scenario.data_files().items():
            (tmp_path / name).write_bytes(path.read_bytes())
        (tmp_path / "scenario.yaml").write_text(one.scenario.resolved_yaml())
        assert load(tmp_path / "scenario.yaml").digest == one.scenario.digest


def test_factors_of_one_leave_everything_as_it_is_written(demo: Scenario, tmp_path: Path) -> None:
    for change in (
        "factors: {inspections.inspectors.*.notice: 1, inspections.points.*.fails: 1, supply.haul: 1}",
        "slower_learning: 100 %",
        "later: {supply.gate: 0 min, inspections.inspectors.*.notice: 0 wd}",
    ):
        assert changed_by(demo, tmp_path, change) == {}
