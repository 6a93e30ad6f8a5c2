"""A scenario said back in words: what is played, what is assumed, what must be said and what never is."""

from __future__ import annotations

from pathlib import Path

import pytest
from cases import DEMO, SCENARIOS, changed, plain_network

from sitesim.scenario import Scenario, load

NEVER_SAID = ("safe", "strong enough", "may lift", "may enter", "acceptable", "guaranteed", "remove the prop")


@pytest.mark.parametrize("path", sorted(SCENARIOS.glob("*.yaml")), ids=lambda path: path.stem)
def test_some_words_are_never_said(path: Path) -> None:
    scenario = load(path)
    told = "\n".join([*scenario.description(), *scenario.assumptions(), *scenario.cautions()]).lower()
    assert [words for words in NEVER_SAID if words in told] == []
    assert "none" not in [line.split(": ")[-1].lower() for line in scenario.assumptions()]


def test_the_demo_is_said_back(demo: Scenario) -> None:
    told = "\n".join(demo.description())
    for words in (
        "5 buildings with 15 homes, from 1 March 2027",
        "Building C: homes C1, C2, C3; slab ready on 12 April 2027.",
        "One working day (wd) is 8 h.",
        "67 layers of 1.57 in, 8.79 ft high",  # 40 mm and 2.68 m
        "20.9 h of nozzle",
        "1-15 (7.7 yd³), 16-30 (7.2 yd³), 31-41 (5.0 yd³), 42-52 (5.0 yd³), 53-67 (8.6 yd³)",
        "loads of 3.0 yd³",
        "shell (6: print, rig, steel, pour)",
        "the gantry is set by crane and the tent raised over it",
        "Finishing by the sequence boards_first: trusses (per building)",
        "4 years from 1 January 2012; that is few",
        "Limits of lift: gusts up to 20 mph, in the open.",
        "80 % of runs",
    ):
        assert words in told, words


def test_metric_pages_are_told_in_metric() -> None:
    told = "\n".join(load(DEMO, ["units=metric"]).description())
    assert "67 layers of 40 mm, 2.68 m high; path 9,824 m" in told
    assert "gusts up to 8.9 m/s" in told
    assert "yd³" not in told
    assert "mph" not in told


def test_assumptions_carry_the_scenarios_numbers(demo: Scenario) -> None:
    told = "\n".join(demo.assumptions())
    for words in (
        "10 % for the site as a whole and of 10 % for each building",
        "4 years of one record, which are few, in blocks of 10 days from up to 15 days",
        "1.5 times the hourly mean wind",
        "300 min from first water at 20 °C",
        "The shortest layer interval, 16 min, follows from a build-up of 0.5 Pa/s",
        "85 % of the time",
        "95 % of what it was",
        "certificate",
    ):
        assert words in told, words


def test_the_cautions_of_a_printed_site_are_all_there(demo: Scenario) -> None:
    told = "\n".join(demo.cautions())
    for words in (
        "braced",
        "zone around gantry and wall while it prints or moves",
        "nobody is under the hook",
        "gusts or a mean",
        "where it is measured",
        "pressure in the hose before anybody clears a blockage",
        "silica",
        "Cement burns",
        "fumes",
        "Props",
        "protected from cold",
        "re-entry",
        "engineer of record",
        "manufacturers",
        "local code",
        "licensed trades",
        "when to ask for specimens",
    ):
        assert words in told, words


def test_cautions_are_of_what_is_played(tmp_path: Path) -> None:
    scenario = plain_network(tmp_path, "{a: {time: 1}}", "{a: }")
    (only,) = scenario.cautions()
    assert "engineer of record" in only
    assert any("share no fortune" in line for line in scenario.assumptions())
    assert "Weather: none; nothing waits for it." in scenario.description()


def test_a_tent_that_leaves_early_is_told_where_it_is_missed(tmp_path: Path) -> None:
    sets = ["relocation.tent_leaves=walls", "relocation.gantry_leaves=walls"]
    assert any("beam" in line and "has left by then" in line for line in load(DEMO, sets).assumptions())


@pytest.mark.parametrize(
    ("sets", "told"),
    [
        (
            [],
            "With the go of a morning, 30 min before the crew begins, what the day will not need any more is called "
            "off or made smaller; a load can be called off until it is batched, for USD 150 each.",
        ),
        (
            ["supply.morning_call=confirm", "supply.notice=1 h", "costs.cancellation=0"],
            "With the go of a morning, 30 min before the crew begins, the order is confirmed, or called off as a "
            "whole; a load can be called off up to 60 min before it is batched.",
        ),
    ],
)
def test_the_mornings_call_is_said_back(sets: list[str], told: str) -> None:
    assert told in load(DEMO, sets).description()


def test_what_the_mornings_call_takes_for_granted_is_an_assumption(tmp_path: Path) -> None:
    cut = "Where a day has fallen short, the loads ordered for the layers after it are cut in the morning"
    batches = "The plant batches nothing before the go, and a load can be called off until it is batched"
    untold = "assumed since the scenario says nothing of it"
    site = changed(tmp_path)  # which says nothing of either
    silent = load(site).assumptions()
    assert any(line.startswith(cut) and untold in line for line in silent)
    assert any(line.startswith(batches) and untold in line for line in silent)
    said = load(site, ["supply.morning_call=adjust", "supply.notice=0 min"]).assumptions()
    assert any(line.startswith(cut) and untold not in line for line in said)
    assert any(line.startswith(batches) and untold not in line for line in said)
    # The first load, batched at 05:59 for seven, would have to be called off an hour before, and the go is at 05:30.
    late = load(site, ["supply.morning_call=confirm", "supply.notice=1 h"]).assumptions()
    assert not any(line.startswith((cut, batches)) for line in late)
    assert any(line.startswith("Go or no go falls 31 min too late to call the first load off") for line in late)
