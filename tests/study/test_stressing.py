"""Studies under stress, from files to answers: rigs whose shift is known, the same bytes, going on.

Kind of the tests: deterministic rigs reckoned by hand, and invariants.
"""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest
from small_sites import low_walls_file

from sitesim.answers.weather_cost import total_of
from sitesim.errors import UserError
from sitesim.scenario import Scenario, load
from sitesim.scenario.stresses import Stress, read_stresses, usual_stresses
from sitesim.scenario.variants import lay_over
from sitesim.study import Interrupted, StudyFolder, StudySettings
from sitesim.study.choosing import chosen
from sitesim.study.replaying import replay_run
from sitesim.study.site_facts import PlayedFacts
from sitesim.study.stressing import StressAsked, StressStudy, play_under_stress

DEMO = Path(__file__).parents[2] / "scenarios" / "tern-quay.yaml"
RIG = """\
# Ten days of framing, then five of paint; a window delivery of six days beside the framing: four days of float.
name: Rig
site: {start: 2027-03-01, horizon: 300 d, buildings: {A: {homes: [A1]}}}
calendar: {site: {days: mon-fri, hours: ["07:00-15:00"]}}
crews: {framers: {size: 2}, painters: {size: 2}, glaziers: {size: 1}}
learning: {default: 90 %}
inspections:
  inspectors: {building: {notice: 1, visits_a_day: 9}}
  points: {frame: {by: building, fails: 0 %, rework: 1}}
finishing:
  tasks:
    frame: {crew: framers, time: 10}
    measure: {time: 0}
    windows: {crew: glaziers, time: 1, delivery: {ordered_after: measure, lead: 6}}
    paint: {crew: painters, time: 5}
  sequences:
    only: {measure: , frame: , windows: , paint: [frame, windows]}
"""
STRESSES = """\
stresses:
  - {name: Framers missing, gang_missing: {gang: framers, week: 2, lasts: 14 d}}
  - {name: Glazier missing, gang_missing: {gang: glaziers, week: 2, lasts: 14 d}}
  - {name: Windows late, delivery_late: {of: windows, by: 15 wd}}
  - {name: Nothing, factors: {finishing.tasks.*.time: 1}, later: {finishing.tasks.paint.time: 0 wd}}
  - {name: Both missing, together: [Framers missing, Glazier missing]}
  - {name: Printer down, printer_down: {lasts: 14 d}}
"""


def rig(folder: Path, inspected: bool = False) -> Scenario:
    """Write and load the rig, whose every duration is fixed; without its inspector, whose hour is left to luck."""
    text = RIG
    if not inspected:
        begin, end = text.index("inspections:"), text.index("finishing:")
        text = text[:begin] + text[end:]
    file = folder / "rig.yaml"
    file.write_text(text)
    return load(file)


def stresses(folder: Path, text: str = STRESSES) -> tuple[Stress, ...]:
    file = folder / "list.yaml"
    file.write_text(text)
    return read_stresses(file)


def settings(runs: int = 6) -> StudySettings:
    return StudySettings(runs=runs, workers=1, engine="here", block=4)


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> StressStudy:
    folder = tmp_path_factory.mktemp("rig")
    return play_under_stress(rig(folder), stresses(folder), StressAsked(months=3), settings(), folder / "out")


def shifts(study: StressStudy) -> dict[str, float]:
    return {one.name: one.p80.shift for one in study.shifts}


def test_a_gang_missing_two_weeks_on_the_critical_path_shifts_the_finish_by_ten_working_days(
    played: StressStudy,
) -> None:
    assert shifts(played)["Framers missing"] == 10.0
    (one,) = [one for one in played.shifts if one.name == "Framers missing"]
    assert (one.mean.mean, one.mean.low, one.mean.high) == (10.0, 10.0, 10.0)


def test_a_gang_with_float_shifts_it_by_less(played: StressStudy) -> None:
    """Windows come on day 6, are set on day 7 of 10; the glazier back on day 16 sets them then: 6 days late."""
    assert shifts(played)["Glazier missing"] == 6.0


def test_a_delivery_shifts_it_by_what_is_beyond_its_float(played: StressStudy) -> None:
    """Windows on day 21, set on day 22 instead of day 7; framing takes until day 10: 12 days late."""
    assert shifts(played)["Windows late"] == 12.0


def test_factors_of_one_change_nothing_to_the_byte(played: StressStudy) -> None:
    assert shifts(played)["Nothing"] == 0.0
    digests = {
        name: StudyFolder(played.basis.folder / name).manifest()["tables_digest"] for name in ("as-planned", "nothing")
    }
    assert digests["as-planned"] == digests["nothing"]


def test_what_comes_together_shifts_at_least_as_far_as_its_worst_part(played: StressStudy) -> None:
    found = shifts(played)
    assert found["Both missing"] >= max(found["Framers missing"], found["Glazier missing"])
    assert {one.name: one.parts for one in played.shifts}["Both missing"] == ("Framers missing", "Glazier missing")


def test_the_ranking_is_by_the_shift(played: StressStudy) -> None:
    assert list(shifts(played)) == ["Windows late", "Both missing", "Framers missing", "Glazier missing", "Nothing"]


def test_what_does_not_apply_is_told(played: StressStudy) -> None:
    assert played.basis.left_out == (("Printer down", "nothing is printed in the scenario"),)


def test_what_was_played_is_told(played: StressStudy) -> None:
    told = dict(played.basis.played)
    assert told["Framers missing"][0] == "Goes wrong: gang framers is missing for 14 days from 8 March 2027."
    assert told["Nothing"] == ()


def test_months_of_start(played: StressStudy) -> None:
    assert [one.start.isoformat() for one in played.months] == ["2027-03-01", "2027-04-05", "2027-05-03"]
    assert {one.days.value for one in played.months} == {18 + 15 / 24}  # three weeks to their Friday
    assert {one.weather_days.value for one in played.months if one.weather_days} == {0.0}


def test_every_variant_is_a_study_of_its_own_that_can_be_replayed(played: StressStudy) -> None:
    folders = sorted(folder.name for folder in played.basis.folder.iterdir() if folder.is_dir())
    assert folders == [
        "as-planned",
        "both-missing",
        "framers-missing",
        "glazier-missing",
        "nothing",
        "start-2027-04",
        "start-2027-05",
        "windows-late",
    ]
    assert replay_run(played.basis.folder / "framers-missing", 0).played.finished
    summary = json.loads((played.basis.folder / "framers-missing" / "summary.json").read_text())
    assert summary["scenario"] == "Rig: Framers missing"


def test_facts_of_the_rig(tmp_path: Path) -> None:
    facts = PlayedFacts(rig(tmp_path).plan())
    assert facts.plain_days == 18 + 15 / 24
    assert facts.busiest_gang == "framers"
    assert facts.print_days == ()


def test_the_usual_closure_of_the_plant_falls_into_a_week_of_printing(tmp_path: Path) -> None:
    """The week holds four print days of a wall, and the plain plan has to print them later: the wall is put off."""
    scenario = load(DEMO)
    planned = PlayedFacts(scenario.plan())
    (plant,) = [one for one in usual_stresses() if "plant" in one.name]
    (closed,) = lay_over(scenario, (), [plant], planned)
    assert closed.scenario is not None
    dates = [date.fromisoformat(day) for day in closed.scenario.resolved["supply"]["outages"][0]["on"]]
    week = [(day - scenario.model.site.start).days for day in dates]
    assert (dates[0].weekday(), len(dates)) == (0, 7)
    assert sum(day in week for day in planned.print_days) >= 4
    under_stress = PlayedFacts(closed.scenario.plan())
    assert not set(week) & set(under_stress.print_days)
    assert under_stress.print_days[0] > planned.print_days[0]
    assert len(under_stress.print_days) == len(planned.print_days)


def test_the_worst_year_is_one_of_the_record(tmp_path: Path) -> None:
    facts = PlayedFacts(load(low_walls_file(tmp_path)).plan())
    assert facts.worst_year in (2012, 2013, 2014, 2015)
    assert list(facts.years) == [2012, 2013, 2014, 2015]
    assert max(facts.years.values()) == facts.years[facts.worst_year]
    assert facts.runs_a_year == 10


def test_the_worst_year_is_named_and_told_by_its_measure(tmp_path: Path) -> None:
    scenario = load(low_walls_file(tmp_path))
    usual = [one for one in usual_stresses() if one.name == "Worst year on record"]
    settings = StudySettings(runs=2, seed=1, workers=1)
    study = play_under_stress(scenario, usual, StressAsked(months=2), settings, tmp_path / "out")
    facts = PlayedFacts(scenario.plan())
    (shift,) = study.shifts
    assert shift.name == f"Worst year on record ({facts.worst_year})"
    weather = study.weather
    assert (weather.worst, weather.runs_a_year) == (facts.worst_year, 10)
    assert [one.year for one in weather.years] == [2012, 2013, 2014, 2015]
    latest = max(one.finish for one in weather.years if one.finish is not None)
    assert next(one.finish for one in weather.years if one.year == weather.worst) == latest
    # What the months cost adds up to what is told as planned, which is the first month of start.
    assert weather.planned is not None
    assert weather.by_start[0] == weather.planned
    assert len(weather.by_start) == len(study.months) == 2
    assert total_of(weather.by_month).money == pytest.approx(weather.planned.money, rel=1e-12)
    assert total_of(weather.by_month).days == pytest.approx(weather.planned.days, rel=1e-12)
    # The year is played as it was: in every run the same.
    played = load(tmp_path / "out" / f"worst-year-on-record-{facts.worst_year}" / "scenario.yaml").plan()
    assert played.climate.replayed == (0,)


def test_an_interrupted_study_goes_on(tmp_path: Path) -> None:
    scenario, listed, asked = rig(tmp_path, inspected=True), stresses(tmp_path)[:2], StressAsked(months=1)

    def stop(done: int, wanted: int, finishes: list[float]) -> None:
        assert wanted == 3 * 8
        assert finishes == []
        if done >= 12:
            raise KeyboardInterrupt

    with pytest.raises(Interrupted):
        play_under_stress(scenario, listed, asked, settings(8), tmp_path / "out", stop)
    kept = {folder: folder.stat().st_mtime_ns for folder in (tmp_path / "out").rglob("runs/*.parquet")}
    assert len(kept) == 3
    seen: list[int] = []
    study = play_under_stress(
        scenario, listed, asked, settings(8), tmp_path / "out", lambda done, _, __: seen.append(done)
    )
    assert {file: file.stat().st_mtime_ns for file in kept} == kept
    assert seen == sorted(seen)
    assert seen[-1] == 3 * 8
    again = play_under_stress(scenario, listed, asked, settings(8), tmp_path / "anew")
    assert again.shifts == study.shifts


def test_all_variants_have_as_many_runs(tmp_path: Path) -> None:
    scenario, listed = rig(tmp_path), stresses(tmp_path)
    play_under_stress(scenario, listed[:1], StressAsked(months=0), settings(8), tmp_path / "out")
    study = play_under_stress(scenario, listed[:2], StressAsked(months=0), settings(4), tmp_path / "out")
    assert {one.runs for one in study.shifts} == {8}
    assert study.planned.runs == 8


def test_names_that_look_alike_get_folders_of_their_own(tmp_path: Path) -> None:
    text = """\
stresses:
  - {name: As planned, later: {finishing.tasks.paint.time: 1 wd}}
  - {name: as-planned!, together: [As planned]}
"""
    study = play_under_stress(
        rig(tmp_path), stresses(tmp_path, text), StressAsked(months=0), settings(), tmp_path / "out"
    )
    assert sorted(shifts(study).values()) == [1.0, 1.0]
    assert sorted(folder.name for folder in study.basis.folder.iterdir()) == [
        "as-planned",
        "as-planned-2",
        "as-planned-3",
    ]


def test_stresses_are_chosen_by_their_names_or_parts_of_them(tmp_path: Path) -> None:
    listed = stresses(tmp_path)
    assert [one.name for one in chosen(listed, ["missing"], "stress")] == [
        "Framers missing",
        "Glazier missing",
        "Both missing",
    ]
    assert [one.name for one in chosen(listed, ["nothing", "windows late"], "stress")] == ["Windows late", "Nothing"]
    assert chosen(listed, [], "stress") == listed
    with pytest.raises(UserError, match="--only storm: there is no such stress"):
        chosen(listed, ["storm"], "stress")


def test_the_busiest_gang_is_named_in_the_ranking(tmp_path: Path) -> None:
    text = "stresses: [{name: Busiest gang missing, gang_missing: {gang: busiest, week: 1, lasts: 7 d}}]"
    study = play_under_stress(
        rig(tmp_path), stresses(tmp_path, text), StressAsked(months=0), settings(), tmp_path / "out"
    )
    assert [one.name for one in study.shifts] == ["Busiest gang (framers) missing"]
