"""The reliefs that a scenario itself suggests: what they are called, and what there is more of."""

from __future__ import annotations

from pathlib import Path

import pytest
from cases import SCENARIOS

from sitesim.plan import UnitKind
from sitesim.scenario import Scenario, ScenarioError, load
from sitesim.scenario.document import Place
from sitesim.scenario.reliefs import Relief, read_reliefs, usual_reliefs, with_article
from sitesim.scenario.reliefs.kinds import NewValues
from sitesim.scenario.variants.laying import lay_over
from sitesim.study.site_facts import PlayedFacts


def usual(name: str, *sets: str) -> dict[str, Relief]:
    return {one.name: one for one in usual_reliefs(load(SCENARIOS / f"{name}.yaml", sets))}


def counts(scenario: Scenario) -> dict[str, int]:
    units = scenario.plan().units
    kinds = {kind.value: sum(unit.kind is kind for unit in units) for kind in UnitKind if kind is not UnitKind.GANG}
    return {**kinds, "shell": sum(unit.name.startswith("shell") for unit in units)}


def more_of(name: str, relief: str, *sets: str) -> dict[str, int]:
    """Count what a scenario has more of with one of its usual reliefs."""
    scenario = load(SCENARIOS / f"{name}.yaml", sets)
    (laid,) = lay_over(scenario, sets, (usual(name, *sets)[relief],), PlayedFacts(scenario.plan()))
    assert laid.scenario is not None, laid.why_not
    before, after = counts(scenario), counts(laid.scenario)
    return {thing: after[thing] - count for thing, count in before.items() if after[thing] != count}


def test_without_fronts_there_is_one_more_of_each() -> None:
    assert more_of("tern-quay", "Second tent") == {"tent": 1}
    assert more_of("tern-quay", "Second printer with a second tent and a second shell gang") == {
        "printer": 1,
        "tent": 1,
        "shell": 1,
    }


@pytest.mark.parametrize("tents", ["1", "{west: 1, east: 2}"])
def test_each_front_gets_one_more_and_the_name_says_so(tents: str) -> None:
    sets = (f"tent.count={tents}",)
    assert more_of("curlew-fields", "One more tent on each front", *sets) == {"tent": 2}
    assert more_of("curlew-fields", "One more printer on each front with 2 more shell gangs", *sets) == {
        "printer": 2,
        "shell": 2,
    }
    both = "One more printer and tent on each front with 2 more shell gangs"
    assert more_of("curlew-fields", both, *sets) == {"printer": 2, "tent": 2, "shell": 2}


def test_a_telehandler_is_suggested_where_it_lifts() -> None:
    assert more_of("tern-quay-telehandler", "Second telehandler") == {"telehandler": 1}
    assert usual("tern-quay-telehandler")["Second telehandler"].unpriced == ()
    free = usual("tern-quay-telehandler", "telehandler.rate=0")["Second telehandler"].unpriced
    assert free == ("the hire of a telehandler, which has no rate (telehandler.rate, telehandler.day)",)
    assert "Second telehandler" not in usual("tern-quay")


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("Second tent", "a second tent"),
        ("Eighth truck", "an eighth truck"),
        ("Secondary beams sooner", "secondary beams sooner"),
        ("Saturdays for every gang", "Saturdays for every gang"),
    ],
)
def test_a_relief_is_written_with_its_article_within_a_sentence(name: str, said: str) -> None:
    assert with_article(name) == said


def test_two_that_change_the_same_do_not_go_together() -> None:
    def setting(path: str) -> Relief:
        return Relief(path, ((NewValues({path: 2}), Place("here", 1)),))

    assert not setting("crews.shell").goes_with(setting("crews.shell.count"))
    assert setting("crews.shell.count").goes_with(setting("crews.shell.rate"))


@pytest.mark.parametrize("name", ["tern-quay-second-shift", "tern-quay-in-one-piece", "curlew-fields"])
def test_each_usual_relief_applies_to_the_scenario_that_suggests_it(name: str) -> None:
    scenario = load(SCENARIOS / f"{name}.yaml")
    laid = lay_over(scenario, (), usual_reliefs(scenario), PlayedFacts(scenario.plan()))
    left_out = {one.laid.name: one.why_not for one in laid if one.scenario is None}
    # Three trucks do not come round so soon, and the reason says how many would.
    assert all("4 trucks would do" in reason for reason in left_out.values())
    assert set(left_out) <= {"Loads an hour nearer to each other"}


def test_the_list_in_the_readme_is_one_that_applies_to_the_demo(tmp_path: Path) -> None:
    readme = (SCENARIOS.parent / "README.md").read_text(encoding="utf-8")
    (text,) = [block for block in readme.split("```") if block.startswith("yaml\nreliefs:")]
    file = tmp_path / "list.yaml"
    file.write_text(text.removeprefix("yaml\n"))
    scenario = load(SCENARIOS / "tern-quay.yaml")
    reliefs = read_reliefs(file, usual_reliefs(scenario))
    assert [one.name for one in reliefs] == ["Second tent", "A second tent raised ahead"]
    *_, ahead = lay_over(scenario, (), reliefs, PlayedFacts(scenario.plan()))
    assert ahead.scenario is not None, ahead.why_not
    assert counts(ahead.scenario)["tent"] == 2
    assert any("the spare tent is raised on the next slab" in line for line in ahead.scenario.assumptions())


def test_a_value_of_a_relief_is_told_at_its_own_line(tmp_path: Path) -> None:
    scenario = load(SCENARIOS / "tern-quay.yaml")
    file = tmp_path / "reliefs.yaml"
    file.write_text(
        "reliefs:\n  - name: More trucks\n    set:\n      supply.trucks: 4\n      supply.gate: 30\n"
        "  - name: Longer washing\n    set:\n      supply.trucks: 4\n      supply.wash: 900 h\n"
    )
    with pytest.raises(ScenarioError) as error:
        lay_over(scenario, (), read_reliefs(file, usual_reliefs(scenario)), PlayedFacts(scenario.plan()))
    assert [(fault.line, fault.path) for fault in error.value.faults] == [(5, "supply.gate"), (9, "supply.wash")]


def test_a_number_is_no_relief_that_could_be_meant(tmp_path: Path) -> None:
    file = tmp_path / "reliefs.yaml"
    file.write_text("reliefs:\n  - {name: Nothing, both: 0}\n")
    with pytest.raises(ScenarioError) as error:
        read_reliefs(file, ())
    assert [(fault.line, fault.path) for fault in error.value.faults] == [(2, "reliefs.0.both")]
