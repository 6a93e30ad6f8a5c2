"""The bottleneck of sites on which it is known: a slow gang, a slow inspector, a printer that goes from slab to slab.

Kind of the tests: deterministic rigs reckoned by hand, and conservation.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from small_sites import SCENARIOS

from sitesim.report.bottleneck_words import command, evidence, rhythm, what_next
from sitesim.scenario import load
from sitesim.study import StudySettings
from sitesim.study.answering import answer

LINE = """\
# Boards take four days a home and paint one: six homes, so the boards set the pace.
name: Line
site: {start: 2027-03-01, horizon: 300 d, buildings: {A: {homes: [A1, A2, A3, A4, A5, A6]}}}
calendar: {site: {days: mon-fri, hours: ["07:00-15:00"]}}
crews: {boarders: {rate: 100, waiting: 0}, painters: {rate: 50, waiting: 0}}
finishing:
  tasks:
    boards: {crew: boarders, time: 4}
    paint: {crew: painters, time: 1}
  sequences:
    only: {boards: , paint: [boards]}
"""

INSPECTED = """\
# Paint takes a quarter of a day a home, and the inspector sees one home a day.
name: Inspected
site: {start: 2027-03-01, horizon: 300 d, buildings: {A: {homes: [A1, A2, A3, A4, A5, A6, A7, A8]}}}
calendar: {site: {days: mon-fri, hours: ["07:00-15:00"]}}
crews: {painters: {rate: 50}}
inspections:
  inspectors: {city: {notice: 0, calendar: site, visits_a_day: 1}}
  points: {paint: {by: city}}
finishing:
  tasks: {paint: {crew: painters, time: 0.25}}
  sequences: {only: {paint: }}
"""

LOW_WALLS = f"""\
extends: {SCENARIOS / "tern-quay.yaml"}
name: Low walls
site:
  horizon: 2000 d
  buildings: {{A: {{homes: [A1]}}, B: {{homes: [B1]}}, C: {{homes: [C1]}}, D: {{homes: [D1]}}, E: {{homes: [E1]}}}}
wall:
  height: 480 mm
  path: [{{layers: 1-12, path: 150 m}}]
  day_ends: [6, 12]
  lintels: []
  points: []
  holds: [{{layer: 6, tasks: [grout_lift]}}]
"""


def summary_of(folder: Path, text: str, runs: int = 3) -> dict[str, Any]:
    file = folder / "site.yaml"
    file.write_text(text)
    settings = StudySettings(runs=runs, workers=1, engine="here", block=4)
    return answer(load(file), settings, folder / "out")


def named(found: dict[str, Any]) -> tuple[str, str]:
    return found["pace"]["cause"], found["pace"]["of"]


def days_by(found: dict[str, Any]) -> dict[tuple[str, str], float]:
    return {(row["cause"], row["of"]): row["days"] for row in found["by"]}


def test_in_a_line_of_two_stages_it_is_the_slow_gang(tmp_path: Path) -> None:
    """From midnight of 1 March the boards take 24 working days, to 15:00 on 1 April, and the last home's paint one."""
    found = summary_of(tmp_path, LINE)["bottleneck"]
    assert named(found) == ("crew", "boarders")
    assert days_by(found) == pytest.approx({("crew", "boarders"): 31 + 15 / 24, ("crew", "painters"): 1.0})
    assert found["days"] == pytest.approx(32 + 15 / 24)
    assert found["turn"] is None
    # the first home is handed over on 5 March, the last four weeks later: six homes, five intervals
    assert found["interval"] == {"of": "home", "number": 6, "days": pytest.approx(28 / 5)}
    # painters come on the fifth day and go on the twenty-fifth, and work on six of these
    assert found["gangs"] == [
        {"gang": "boarders", "number": 1, "busy": 1.0},
        {"gang": "painters", "number": 1, "busy": pytest.approx(6 / 21)},
    ]
    assert rhythm(found) == (
        "The boarders gang sets the pace: it holds 32 of the 33 days up to the last hand-over (97 %)."
    )
    assert evidence(found) == [
        "One home is handed over every 5.6 days on average.",
        "The busiest gang between its first work and its last is the boarders gang, at work 100 % of its hours on "
        "shift.",
    ]


def test_it_names_what_to_play_for_more_of_it(tmp_path: Path) -> None:
    found = summary_of(tmp_path, LINE)["bottleneck"]
    assert [one["only"] for one in found["worth_trying"]] == ["boarders", "painters", "Saturdays for every gang"]
    assert found["worth_trying"][0]["reliefs"] == ["Second boarders gang"]
    assert command(found) == ('sitesim relief FILE --only boarders --only painters --only "Saturdays for every gang"')
    assert what_next(found).endswith(command(found))


def test_where_everybody_waits_for_the_inspector_it_is_the_inspector(tmp_path: Path) -> None:
    found = summary_of(tmp_path, INSPECTED)["bottleneck"]
    assert named(found) == ("inspection", "city")
    assert found["pace"]["days"] > 5 * days_by(found)["crew", "painters"]
    assert rhythm(found).startswith("The city inspector sets the pace: it holds ")
    assert found["worth_trying"][0]["only"] == "city inspector"
    assert "One more visit a day of the city inspector" in found["worth_trying"][0]["reliefs"]


@pytest.fixture(scope="module")
def low_walls(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    return summary_of(tmp_path_factory.mktemp("low"), LOW_WALLS, runs=4)


def test_where_a_printer_goes_from_slab_to_slab_its_turns_are_told(low_walls: dict[str, Any]) -> None:
    found = low_walls["bottleneck"]
    turn = found["turn"]
    assert turn["printers"] == 1
    assert 0.0 < turn["busy"] <= 1.0
    assert sum(row["days"] for row in turn["by"]) == pytest.approx(turn["days"])
    assert turn["share"] == pytest.approx(turn["days"] / found["days"])
    assert any(row["cause"] == "printer" for row in turn["by"])
    for row in turn["by"]:
        assert row["days"] <= days_by(found)[row["cause"], row["of"]] + 1e-9


def test_every_day_of_the_finish_is_somebodys(low_walls: dict[str, Any]) -> None:
    found = low_walls["bottleneck"]
    assert sum(row["days"] for row in found["by"]) == pytest.approx(found["days"])
    assert sum(row["share"] for row in found["by"]) == pytest.approx(1.0)
    assert found["days"] == pytest.approx(sum(row["days"]["value"] for row in low_walls["held"]))
    assert [row["days"] for row in found["by"]] == sorted((row["days"] for row in found["by"]), reverse=True)


def test_one_thing_that_holds_most_of_the_turns_is_named_itself(tmp_path: Path) -> None:
    """With weeks of notice for the special inspector, whom every cage waits for, it is not the printing."""
    late = LOW_WALLS + "inspections: {inspectors: {special: {notice: 60}}}\n"
    found = summary_of(tmp_path, late, runs=2)["bottleneck"]
    assert named(found) == ("inspection", "special")
    assert found["worth_trying"][0]["only"] == "special inspector"


def test_of_long_turns_without_one_that_holds_most_it_is_printing(tmp_path: Path) -> None:
    """Setting up the printer, raising the tent and taking the printer down take four weeks each."""
    long = LOW_WALLS + "relocation: {tasks: {gantry_up: {time: 20}, tent_up: {time: 20}, gantry_down: {time: 20}}}\n"
    found = summary_of(tmp_path, long, runs=2)["bottleneck"]
    assert found["pace"]["what"] == "printing in turn"
    assert found["pace"]["days"] == found["turn"]["days"]
    assert rhythm(found).startswith("Printing sets the pace: ")
    assert evidence(found)[0].startswith("A printer is at a building for ")
    assert [one["only"] for one in found["worth_trying"]][:2] == ["printer with", "tent"]


def test_where_the_tent_takes_longer_than_all_the_rest_it_is_the_tent(tmp_path: Path) -> None:
    slow = LOW_WALLS + "relocation: {tasks: {tent_up: {time: 40}, tent_down: {time: 40}}}\n"
    found = summary_of(tmp_path, slow, runs=2)["bottleneck"]
    assert named(found) == ("tent", "")
    assert rhythm(found).startswith("Raising and striking the tent sets the pace: it holds ")


def test_without_a_run_that_ends_there_is_none(tmp_path: Path) -> None:
    summary = summary_of(tmp_path, LINE.replace("horizon: 300 d", "horizon: 10 d"))
    assert summary["unfinished"]["runs"] == 3
    assert summary["bottleneck"] is None


def test_nobody_sets_the_pace_of_what_only_takes_its_time(tmp_path: Path) -> None:
    text = LINE.replace("boards: {crew: boarders, time: 4}", "boards: {time: 4}").replace(
        "paint: {crew: painters, time: 1}", "paint: {time: 1}"
    )
    text = text.replace("crews: {boarders: {rate: 100, waiting: 0}, painters: {rate: 50, waiting: 0}}\n", "")
    found = summary_of(tmp_path, text)["bottleneck"]
    assert found["pace"] is None
    assert days_by(found).keys() == {("others", "boards"), ("others", "paint")}
    assert rhythm(found).startswith(
        "No gang or machine sets the pace: of 5 days up to the last hand-over 4 go to boards"
    )
    assert what_next(found) == ""
