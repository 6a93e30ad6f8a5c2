"""The milestones of buildings and homes on the page, against a made-up study."""

from __future__ import annotations

from page_parts import rows_of, section_of
from small_study import small_study


def test_each_building_and_home_has_its_dates() -> None:
    rows = rows_of(section_of(small_study(), "milestones"))
    # forty runs, handed over on the 100th day and each day after it: the 20th and the 32nd
    assert rows == [
        ["", "walls at height", "handed over"],
        ["A", "Mar 17, 2027 | Mar 17, 2027", "Jun 27, 2027 | Jul 9, 2027"],
        ["", "handed over"],
        ["A1", "Jun 27, 2027 | Jul 9, 2027"],
        ["A2", "Jun 27, 2027 | Jul 9, 2027"],
    ]


def test_what_four_in_five_runs_never_reach_has_no_date() -> None:
    rows = rows_of(section_of(small_study(unfinished=10), "milestones"))
    assert rows[1][2] == "Jun 27, 2027 | no date"


def test_milestones_stand_in_the_order_in_which_they_are_reached() -> None:
    study = small_study()
    for name, day in (("dry-in", "2027-05-01"), ("slab", "2027-03-01"), ("never", None)):
        study.summary["milestones"].append({"building": "A", "home": "", "milestone": name, "P50": day, "P80": day})
    heads = rows_of(section_of(study, "milestones"))[0]
    assert heads == ["", "slab ready", "walls at height", "dry-in", "never", "handed over"]


def test_many_homes_are_folded_away() -> None:
    study = small_study()
    assert section_of(study, "milestones").count("<details>") == 1
    study.summary["homes"] = [{**study.summary["homes"][0], "home": f"A{number}"} for number in range(20)]
    text = section_of(study, "milestones")
    assert text.count("<details>") == 2
    assert "Milestones of each home, P50 and P80: 20 rows" in text


def test_it_says_what_each_milestone_means() -> None:
    study = small_study()
    study.summary["milestones"].append({"building": "A", "home": "", "milestone": "dry <in>", "P50": None, "P80": None})
    study.summary["milestone_ends"] = {"dry <in>": ["tent_down", "deck"], "walls": ["walls"]}
    text = section_of(study, "milestones")
    assert "<li>walls at height: the last layer is printed</li>" in text
    assert "<li>dry &lt;in&gt;: the end of striking the tent and deck</li>" in text
    assert "<li>handed over: everything in it is done and passed</li>" in text


def test_a_summary_of_an_older_version_is_told_without_ends() -> None:
    study = small_study()
    del study.summary["milestone_ends"]
    assert "walls at height: the last layer is printed" in section_of(study, "milestones")


def test_without_any_milestone_there_is_no_section() -> None:
    study = small_study()
    study.summary.update({"milestones": [], "buildings": [], "homes": []})
    assert section_of(study, "milestones") == ""
