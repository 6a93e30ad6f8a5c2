"""The bottleneck on the page and in the terminal, from a made-up finding."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from page_parts import rows_of, section_of
from rich.console import Console
from small_study import SmallStudy, small_study

from sitesim.plan import Cause
from sitesim.report.bottleneck_words import evidence, holder_label, how_counted
from sitesim.report.relief_beside import DATA, ReliefBeside, relief_beside
from sitesim.report.study_page import build_page
from sitesim.report.terminal import run_report
from sitesim.report.words import HELD_BY, Style
from sitesim.study.theatre import PLANNED

FOUND: dict[str, Any] = {
    "days": 100.0,
    "pace": {"what": "crew", "cause": "crew", "of": "dry <wall>", "days": 60.0},
    "by": [
        {"cause": "crew", "of": "dry <wall>", "days": 60.0, "share": 0.6},
        {"cause": "inspection", "of": "city", "days": 39.8, "share": 0.398},
        {"cause": "cure", "of": "", "days": 0.2, "share": 0.002},
    ],
    "turn": None,
    "gangs": [{"gang": "dry <wall>", "number": 2, "busy": 0.95}, {"gang": "paint crew", "number": 1, "busy": 0.2}],
    "interval": {"of": "building", "number": 3, "days": 12.0},
    "worth_trying": [
        {"only": "dry <wall>", "reliefs": ["Third dry <wall> gang"]},
        {"only": "tent", "reliefs": ["Second tent"]},
    ],
}
RELIEF = ReliefBeside(
    "With a second <tent> no day is won.",
    40,
    (
        {"name": "Third gang", "won": {"mean": 4.25}, "cost": {"mean": 1200.0}, "distinguishable": True},
        {"name": "Second tent", "won": {"mean": 0.1}, "cost": {"mean": -300.0}, "distinguishable": False},
        {"name": "Nothing", "won": {"mean": -0.04}, "cost": {"mean": -0.3}, "distinguishable": True},
        {"name": "Never ends", "won": {"mean": None}, "cost": {"mean": None}, "distinguishable": True},
    ),
    "../site-relief/relief.html",
)


def study_with(found: dict[str, Any] | None) -> SmallStudy:
    study = small_study()
    return replace(study, summary=study.summary | {"bottleneck": found})


def test_the_page_says_what_sets_the_pace_and_by_what_evidence() -> None:
    text = section_of(study_with(FOUND), "bottleneck")
    assert (
        "<strong>The dry &lt;wall&gt; gang sets the pace: it holds 60 of the 100 days up to the last hand-over (60 %)."
    ) in text
    assert "<li>One building is handed over every 12.0 days on average.</li>" in text
    assert "at work 95 % of its hours on shift" in text
    assert (
        "<code><span>sitesim relief FILE</span> <span>--only &quot;dry &lt;wall&gt;&quot;</span> "
        "<span>--only tent</span></code>"
    ) in text
    assert rows_of(text) == [
        ["", "Calendar days", "Share", ""],
        ["the dry &lt;wall&gt; gang&#x27;s work", "60.0", "60 %", ""],
        ["waiting for the city inspector", "39.8", "40 %", ""],
        ["Gang", "At work", ""],
        ["the dry &lt;wall&gt; gang (2)", "95 %", ""],
        ["the paint crew", "20 %", ""],
    ]


def test_why_the_days_differ_from_those_of_what_held_the_date_is_said() -> None:
    printing = FOUND | {"by": [{"cause": Cause.PRINTER.value, "of": "", "days": 100.0, "share": 1.0}]}
    said = how_counted(printing)
    assert said == (
        "The calendar days here are by who had them in hand, under “What held the date?” the same days are by what "
        "was waited for: so printing and moving the printer has more of them here, with its waits for concrete, "
        "weather and repairs."
    )
    assert said in section_of(study_with(printing), "bottleneck")
    assert "printer" not in how_counted(FOUND)  # nobody prints there
    console = Console(width=100, record=True, file=None, force_terminal=False)
    with console.capture() as captured:
        console.print(run_report(study_with(printing).summary))
    assert said in " ".join(captured.get().split())


def test_the_terminal_says_the_same() -> None:
    console = Console(width=100, record=True, file=None, force_terminal=False)
    with console.capture() as captured:
        console.print(run_report(study_with(FOUND).summary))
    text = " ".join(captured.get().split())
    assert "Where is the bottleneck? · The dry <wall> gang sets the pace: it holds 60 of the 100 days" in text
    assert 'sitesim relief FILE --only "dry <wall>" --only tent' in text


def test_where_a_relief_study_lies_beside_its_answer_is_shown() -> None:
    study = study_with(FOUND)
    page = build_page(study.summary, study.runs, study.activities, study.weeks, study.manifest, RELIEF)
    text = page[page.index('<section id="bottleneck">') : page.index('<section id="held">')]
    assert "Played with one more of each thing: With a second &lt;tent&gt; no day is won." in text
    assert '<a href="../site-relief/relief.html">' in text
    assert "sitesim relief FILE" not in text
    rows = rows_of(text)
    assert rows[0] == ["", "Working days won", "Money, + dearer"]
    assert rows[1:5] == [
        ["Third gang", "+4.2", "+$1,200"],
        ["Second tent", "none that can be told", "−$300"],
        ["Nothing", "0.0", "$0"],
        ["Never ends", "–", "–"],
    ]


def test_more_days_in_what_nobody_queues_for_are_not_hidden() -> None:
    meter = {"cause": "material", "of": "utility meter", "days": 70.0, "share": 0.5}
    lines = evidence(FOUND | {"by": [meter, *FOUND["by"]]})
    assert lines[-1] == "Still more days, 70, go to waiting for the utility meter, for which nobody queues."


@pytest.mark.parametrize(
    ("cause", "of", "label"),
    [
        ("crew", "rig and pour_crew", "the rig gang and the pour crew"),
        ("crew", "", HELD_BY[Cause.CREW]),
        ("inspection", "", HELD_BY[Cause.INSPECTION]),
        ("material", "kitchen_units", "the kitchen units"),
        ("others", "tent_down", "striking the tent"),
        ("printer", "", "printing and moving the printer"),
    ],
)
def test_what_holds_a_date_is_called_by_its_name(cause: str, of: str, label: str) -> None:
    assert holder_label({"cause": cause, "of": of}) == label


@pytest.mark.parametrize("summary", [{}, {"bottleneck": None}])
def test_without_a_finding_there_is_no_section(summary: dict[str, Any]) -> None:
    study = small_study()
    assert section_of(replace(study, summary=study.summary | summary), "bottleneck") == ""


def beside(folder: Path, digest: str = "same", data: str | None = None) -> ReliefBeside | None:
    """Write a relief study beside a folder of runs, and look for it."""
    place = folder / "site-relief"
    (place / PLANNED).mkdir(parents=True)
    (place / PLANNED / "manifest.json").write_text(json.dumps({"scenario_digest": digest, "seed": 1, "versions": {}}))
    found = {"answer": RELIEF.answer, "planned": {"runs": 40}, "reliefs": RELIEF.reliefs}
    (place / DATA).write_text(json.dumps(found) if data is None else data)
    return relief_beside(folder / "site", {"scenario_digest": "same"})


def test_a_relief_study_of_the_same_scenario_is_found_beside(tmp_path: Path) -> None:
    assert beside(tmp_path) == RELIEF
    assert next(RELIEF.rows(Style(False, "EUR"))) == ("Third gang", "+4.2", "+1,200 EUR")


@pytest.mark.parametrize(
    "wrong", [{"digest": "another"}, {"data": "no JSON"}, {"data": "{}"}, {"data": '{"answer": 1, "planned": null}'}]
)
def test_another_study_or_a_damaged_one_counts_as_none(tmp_path: Path, wrong: dict[str, str]) -> None:
    assert beside(tmp_path, **wrong) is None


def test_without_a_folder_beside_there_is_none(tmp_path: Path) -> None:
    assert relief_beside(tmp_path / "site", {"scenario_digest": "same"}) is None
