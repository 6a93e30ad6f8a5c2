"""Reliefs played beside a site, from files to answers: a line of two stages whose bottleneck is known by hand.

Kind of the tests: deterministic rigs reckoned by hand, and invariants.
"""

from __future__ import annotations

import re
from dataclasses import replace
from math import log2
from pathlib import Path

import pytest
from rich.console import Console
from small_sites import LINE, low_walls_file

from sitesim.errors import UserError
from sitesim.report.relief_page import write_relief_page
from sitesim.report.relief_terminal import relief_report
from sitesim.report.relief_words import answer, as_data, idle_in_words
from sitesim.scenario import Scenario, ScenarioError, load
from sitesim.scenario.reliefs import read_reliefs, usual_reliefs
from sitesim.study import Interrupted, StudyFolder, StudySettings
from sitesim.study.relieving import ReliefAsked, ReliefStudy, play_reliefs


def rig(folder: Path) -> Scenario:
    file = folder / "line.yaml"
    file.write_text(LINE)
    return load(file)


def settings(runs: int = 3) -> StudySettings:
    return StudySettings(runs=runs, workers=1, engine="here", block=4)


def study(folder: Path, asked: ReliefAsked, out: str = "out") -> ReliefStudy:
    scenario = rig(folder)
    return play_reliefs(scenario, usual_reliefs(scenario), asked, settings(), folder / out)


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> ReliefStudy:
    return study(tmp_path_factory.mktemp("line"), ReliefAsked())


def won(played: ReliefStudy) -> dict[str, float]:
    return {one.name: one.won_p80.shift for one in played.reliefs}


def test_one_more_of_the_slow_gang_halves_the_pace_and_one_more_of_the_fast_gang_wins_nothing(
    played: ReliefStudy,
) -> None:
    """As planned 6 · 4 + 1 = 25 days; with two gangs of boarders 3 · 4, then the last two homes' paint in turn: 14."""
    assert won(played)["Second boarders gang"] == 25 - 14
    assert won(played)["Second painters gang"] == 0.0
    assert [one.name for one in played.reliefs if one.name.startswith("Second")] == [
        "Second boarders gang",
        "Second painters gang",
    ]
    fast = next(one for one in played.reliefs if one.name == "Second painters gang")
    assert not fast.distinguishable
    assert fast.order.same.value == 1.0


def test_the_money_is_that_of_the_days_won(played: ReliefStudy) -> None:
    """Both gangs are paid by the job: the same work costs the same, and 11 days of overhead are saved."""
    slow = next(one for one in played.reliefs if one.name == "Second boarders gang")
    assert slow.cost.mean == -11 * 1000.0
    assert slow.a_day is not None
    assert slow.a_day.value == -1000.0
    (idle,) = slow.idle
    assert (idle.before, idle.after) == (1, 2)


@pytest.mark.parametrize(("weekend", "dearer"), [("", 50.0), (", weekend: 180", 80.0)])
def test_saturdays_are_paid_as_overtime_or_as_the_gang_is_paid_on_weekends(
    tmp_path: Path, weekend: str, dearer: float
) -> None:
    """24 days of boards take four weeks of six days, with four Saturdays; the last home is painted on the Monday.

    The 25th working day is Friday the 2nd of April, that Monday the 29th of March: four days of overhead are saved.
    """
    file = tmp_path / "line.yaml"
    file.write_text(LINE.replace("boarders: {rate: 100", f"boarders: {{rate: 100{weekend}"))
    scenario = load(file)
    asked = ReliefAsked(only=("Saturdays for the boarders",), best=0)
    (one,) = play_reliefs(scenario, usual_reliefs(scenario), asked, settings(), tmp_path / "out").reliefs
    assert one.won_p80.shift == 4.0
    assert one.cost.mean == 4 * 8 * dearer - 4 * 1000.0


def test_the_reason_is_what_it_relieves(played: ReliefStudy) -> None:
    slow = next(one for one in played.reliefs if one.name == "Second boarders gang")
    (held,) = slow.relieved
    assert (held.by.cause, held.by.of) == ("crew", "boarders")
    assert held.moved.mean < 0.0


def test_with_the_boards_relieved_the_paint_shows_what_it_is_worth(tmp_path: Path) -> None:
    """Two gangs of boarders and two of painters: 3 · 4 + 1 = 13 days, 1 more than the sum of 11 and 0."""
    (tmp_path / "list.yaml").write_text("reliefs:\n  - {name: Both, both: [boarders, painters]}\n")
    scenario = rig(tmp_path)
    reliefs = read_reliefs(tmp_path / "list.yaml", usual_reliefs(scenario))
    found = play_reliefs(scenario, reliefs, ReliefAsked(best=0), settings(), tmp_path / "out")
    joint = next(one for one in found.reliefs if one.name == "Both")
    assert joint.won_p80.shift == 25 - 13
    assert joint.parts == ("Second boarders gang", "Second painters gang")
    assert joint.beyond is not None
    assert (joint.beyond.sum, joint.beyond.beyond.mean) == (11.0, 1.0)


def test_two_gangs_that_share_the_work_learn_each_by_its_own(tmp_path: Path) -> None:
    """Of six homes a gang alone learns six times, each of two three times: at 80 %, that takes longer in all."""
    (tmp_path / "line.yaml").write_text(f"{LINE}learning: {{default: 80 %, floor: 10 %}}\n")
    scenario = load(tmp_path / "line.yaml")
    asked = ReliefAsked(only=("boarders", "painters"), best=0)
    found = play_reliefs(scenario, usual_reliefs(scenario), asked, settings(), tmp_path / "out")
    idle = {one.name: of for one in found.reliefs for of in one.idle}
    hours_of = [8 * 4 * unit ** log2(0.8) for unit in range(1, 7)]
    boards = idle["Second boarders gang"]
    assert boards.work_before == pytest.approx(sum(hours_of), abs=0.01)
    assert boards.more_work.mean == pytest.approx(2 * sum(hours_of[:3]) - sum(hours_of), abs=0.01)
    assert boards.learns_apart
    paint = next(one for one in found.reliefs if one.name == "Second painters gang")
    assert not paint.wins
    assert f"{2 * sum(hours_of[:3]):,.0f} h in all instead of {sum(hours_of):,.0f} h" in idle_in_words(boards)


def test_without_learning_the_work_stays_the_same(played: ReliefStudy) -> None:
    for one in played.reliefs:
        for idle in one.idle:
            assert (idle.more_work.mean, idle.learns_apart) == (0.0, False)


def test_reliefs_that_are_named_are_answered_in_a_sentence_each(tmp_path: Path) -> None:
    found = study(tmp_path, ReliefAsked(only=("boarders", "painters"), best=0))
    assert sorted(won(found)) == ["Second boarders gang", "Second painters gang"]
    told = answer(found)
    assert "With a second boarders gang the date at 4 in 5 comes 11 working days earlier" in told
    assert "With a second painters gang no day is won in any of 3 runs" in told


def test_of_many_that_are_named_the_answer_tells_those_that_win_most(played: ReliefStudy) -> None:
    assert len(played.reliefs) > 3
    asked = replace(played, asked_only=True)
    assert answer(asked) == answer(played)
    assert answer(asked).startswith("The date at 4 in 5 comes forward most with a second boarders gang 11 working")
    few = replace(asked, reliefs=played.reliefs[:3])
    assert answer(few).count("With ") == 3


def test_runs_that_end_neither_way_are_left_out_of_what_is_won_and_paid(tmp_path: Path) -> None:
    """As planned, and with Saturdays for the painters, some runs do not end within the horizon, without a warning."""
    text = LINE.replace("300 d", "38 d").replace("time: 4", "time: [3, 4, 6]").replace("time: 1", "time: [1, 2, 3]")
    file = tmp_path / "line.yaml"
    file.write_text(text)
    scenario = load(file)
    asked = ReliefAsked(only=("boarders", "painters"), best=2)
    found = play_reliefs(scenario, usual_reliefs(scenario), asked, settings(runs=20), tmp_path / "out")
    unfinished = {one.name: one.unfinished for one in found.reliefs}
    assert 0 < unfinished["Second painters gang"] < 20
    assert unfinished["Second boarders gang"] == 0
    assert found.planned.unfinished > 4
    (best, *_) = found.reliefs
    assert best.name == "Second boarders gang"
    assert best.won.n == 20 - found.planned.unfinished
    assert best.a_day is not None
    assert best.a_day.value == pytest.approx(best.cost.mean / best.won.mean)
    assert "With a second boarders gang there is a date at 4 in 5 at all" in answer(replace(found, reliefs=(best,)))
    assert "a second boarders gang to a date where there was none" in answer(replace(found, asked_only=False))
    assert all(pair.beyond is None for pair in found.pairs)


def test_a_name_that_means_no_relief_is_told_with_the_nearest(tmp_path: Path) -> None:
    with pytest.raises(UserError, match=r"--only bordrs: there is no such relief: .*boarders"):
        study(tmp_path, ReliefAsked(only=("bordrs",)))


def test_every_fault_of_a_list_is_told_at_its_line(tmp_path: Path) -> None:
    file = tmp_path / "list.yaml"
    file.write_text(
        "reliefs:\n"
        "  - {name: Nothing at all}\n"
        "  - {name: Typing error, set: {crews.boarders.cuont: 2}}\n"
        "  - {name: Unknown part, both: [plasterers, painters]}\n"
    )
    with pytest.raises(ScenarioError) as raised:
        read_reliefs(file, usual_reliefs(rig(tmp_path)))
    told = {fault.line: fault.message for fault in raised.value.faults}
    assert sorted(told) == [2, 3, 4]
    assert "changes nothing" in told[2]
    assert "count" in told[3]
    assert "there is no relief plasterers" in told[4]


def test_reliefs_that_change_the_same_are_refused_together(tmp_path: Path) -> None:
    file = tmp_path / "list.yaml"
    file.write_text(
        "reliefs:\n"
        "  - {name: Two, set: {crews.boarders.count: 2}}\n"
        "  - {name: Three, set: {crews.boarders.count: 3}}\n"
        "  - {name: Which, both: [Two, Three]}\n"
    )
    with pytest.raises(ScenarioError) as raised:
        read_reliefs(file, usual_reliefs(rig(tmp_path)))
    (fault,) = raised.value.faults
    assert fault.line == 4
    assert fault.message == "Two and Three both change crews.boarders.count; set what is meant in one relief"


def test_entries_and_changes_that_are_none_are_told_once_and_in_the_words_of_the_file(tmp_path: Path) -> None:
    file = tmp_path / "list.yaml"
    file.write_text("reliefs:\n  - 5\n  - {name: x, set: [1, 2]}\n")
    with pytest.raises(ScenarioError) as raised:
        read_reliefs(file, usual_reliefs(rig(tmp_path)))
    assert [(fault.line, fault.message) for fault in raised.value.faults] == [
        (2, "5 should be a mapping with name, set, both"),
        (3, "[1, 2] should be a mapping"),
    ]


def test_a_scenario_that_suggests_no_relief_says_so(played: ReliefStudy) -> None:
    nothing = replace(played, reliefs=(), pairs=(), basis=replace(played.basis, left_out=()))
    assert answer(nothing).startswith("This scenario has nothing of which there could be more")
    unasked = (("Second tent", "the scenario says nothing of tent"),)
    left_out = replace(nothing, basis=replace(nothing.basis, left_out=unasked))
    assert answer(left_out) == "Nothing that was asked for applies to this scenario."


def test_what_wins_on_average_alone_is_not_said_to_bring_the_date_at_4_in_5_forward(played: ReliefStudy) -> None:
    slow = next(one for one in played.reliefs if one.name == "Second boarders gang")
    stays = replace(slow, won_p80=replace(slow.won_p80, shift=0.0, low=0.0, high=2.0))
    told = answer(replace(played, reliefs=(stays,)))
    assert told == (
        "Nothing that is played here brings the date at 4 in 5 forward by so much that the runs can tell; on average "
        "with a second boarders gang +11.0 (+11.0 to +11.0) working days, for $11,000 less."
    )
    asked = answer(replace(played, reliefs=(stays,), asked_only=True))
    assert "With a second boarders gang the date at 4 in 5 stays (0 to 2), on average +11.0" in asked


def test_what_cannot_be_told_apart_at_4_in_5_is_told_by_its_mean(played: ReliefStudy) -> None:
    sure = next(one for one in played.reliefs if one.name == "Second boarders gang")
    unsure = replace(sure, name="Second rig", won_p80=replace(sure.won_p80, shift=6.0, low=-6.0, high=14.0))
    told = answer(replace(played, reliefs=(unsure, sure)))
    assert told == (
        "The date at 4 in 5 comes forward most with a second boarders gang 11 working days earlier (11 to 11), for "
        "$11,000 less. Told apart on average, but not at 4 in 5: with a second rig +11.0 (+11.0 to +11.0) "
        "working days, for $11,000 less."
    )
    at_zero = replace(unsure, won_p80=replace(unsure.won_p80, low=0.0))
    for one, within in ((unsure, "−6 to +14"), (at_zero, "0 to 14")):
        assert "4 in 5 forward by so much that the runs can tell" in answer(replace(played, reliefs=(one,)))
        asked = answer(replace(played, reliefs=(one,), asked_only=True))
        assert asked.startswith(
            "With a second rig +11.0 (+11.0 to +11.0) working days are won on average; at 4 in 5 that cannot be told "
            f"apart ({within}), for $11,000 less"
        )


def test_no_day_won_reads_the_same_on_the_page_and_in_the_terminal(tmp_path: Path, played: ReliefStudy) -> None:
    nobody = next(one for one in played.reliefs if one.order.same.value == 1.0)
    study = replace(played, reliefs=(nobody,), pairs=(), basis=replace(played.basis, folder=tmp_path), asked_only=True)
    page = write_relief_page(study).read_text(encoding="utf-8")
    console = Console(width=140)
    with console.capture() as captured:
        console.print(relief_report(study))
    assert re.search(r"0 \(0 to 0\) +0\.0 +", captured.get())
    assert ">0.0</td>" in page
    assert "+0.0" not in captured.get()
    assert "+0.0" not in page[page.index("<main") : page.index("</main>")]


def test_an_interrupted_study_keeps_what_was_played_and_goes_on(tmp_path: Path, played: ReliefStudy) -> None:
    scenario = rig(tmp_path)
    reliefs = usual_reliefs(scenario)

    def interrupt(done: int, wanted: int, _: list[float]) -> None:
        if done >= 6:
            raise KeyboardInterrupt

    with pytest.raises(Interrupted):
        play_reliefs(scenario, reliefs, ReliefAsked(), settings(), tmp_path / "out", interrupt)
    kept = [folder for folder in (tmp_path / "out").iterdir() if StudyFolder(folder).run_count() == 3]
    assert len(kept) >= 2
    gone_on = play_reliefs(scenario, reliefs, ReliefAsked(), settings(), tmp_path / "out")
    assert won(gone_on) == won(played)


def test_the_page_and_the_figures_for_programs_tell_the_answer(played: ReliefStudy) -> None:
    page = write_relief_page(played).read_text(encoding="utf-8")
    assert answer(played) in page
    assert "Second boarders gang" in page
    data = as_data(played)
    assert {one["name"]: one["won_p80"]["shift"] for one in data["reliefs"]} == won(played)


def test_machines_of_every_front_are_counted_as_those_of_whom_there_are_more(tmp_path: Path) -> None:
    path = low_walls_file(tmp_path)
    path.write_text(path.read_text().replace("site:\n", "site:\n  fronts: {west: [A, C, E], east: [B, D]}\n"))
    scenario = load(path)
    asked = ReliefAsked(only=("one more tent on each front",), best=0)
    found = play_reliefs(scenario, usual_reliefs(scenario), asked, settings(runs=2), tmp_path / "out")
    (idle,) = found.reliefs[0].idle
    assert (idle.name, idle.before, idle.after) == ("tent", 2, 4)
    assert 0.0 < idle.share_before < 1.0
    assert idle.hours_before > 0.0
