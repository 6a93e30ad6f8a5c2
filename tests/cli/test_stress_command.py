"""`stress` as a user meets it."""

from __future__ import annotations

import re
from pathlib import Path

from command_line import (
    HERE,
    done,
    refused,
    strict_json,
    words,
)
from small_sites import network_file

LATE = """\
stresses:
  - {name: Painters slow, factors: {finishing.tasks.paint.time: 2}}
  - {name: Gang missing for two weeks, gang_missing: {gang: busiest, week: 1, lasts: 14 d}}
  - {name: Tent lost, tent_lost: {lasts: 21 d}}
"""


def test_stress_ranks_and_leaves_a_page(tmp_path: Path) -> None:
    file = network_file(tmp_path)
    (tmp_path / "late.yaml").write_text(LATE)
    told = done("stress", file, "--stresses", "late.yaml", "--runs", 10, "--months", 2, "--date", "2027-04-30", *HERE)
    text = words(told)
    assert re.search(r"What if it goes wrong: Two homes .* \+[\d.]+ working days", text)
    assert "gang missing for two weeks +10" in text.casefold()
    assert "Does not apply: Tent lost: the scenario has no tent." in text
    assert re.search(r"Mar 2027 .* Apr 2027", text)
    assert "The page: outputs/two-homes-stress/stress.html The runs: outputs/two-homes-stress" in text
    assert {"stress.html", "stress.json", "as-planned", "painters-slow"} <= {
        entry.name for entry in (tmp_path / "outputs/two-homes-stress").iterdir()
    }


def test_stress_as_json_and_again_the_same(tmp_path: Path) -> None:
    file = network_file(tmp_path)
    (tmp_path / "late.yaml").write_text(LATE)
    asked = ("stress", file, "--stresses", "late.yaml", "--only", "gang", "--months", 0, "--runs", 8, "--json", *HERE)
    first = done(*asked)
    data = strict_json(first)
    assert [(one["name"], one["p80"]["shift"]) for one in data["shifts"]] == [("Gang missing for two weeks", 10.0)]
    assert done(*asked) == first
    assert strict_json((tmp_path / data["folder"] / "stress.json").read_text()) == data


def test_settings_hold_under_stress(tmp_path: Path) -> None:
    file = network_file(tmp_path)
    (tmp_path / "late.yaml").write_text(LATE)
    asked = ("stress", file, "--stresses", "late.yaml", "--only", "gang", "--months", 0, "--runs", 4, "--json", *HERE)
    plain, slow = (strict_json(done(*asked, *more)) for more in ((), ("--set", "finishing.tasks.frame.time=20")))
    assert slow["planned"]["finish_p80"] > plain["planned"]["finish_p80"]


def test_faults_of_a_list_are_told_with_their_lines(tmp_path: Path) -> None:
    file = network_file(tmp_path)
    (tmp_path / "late.yaml").write_text(LATE.replace("factors", "factor").replace("gang: busiest", "gnag: busiest"))
    lines = refused("stress", file, "--stresses", "late.yaml").splitlines()
    assert [line.split("  ")[0] for line in lines][:2] == ["late.yaml:2", "late.yaml:3"]
    assert "did you mean factors?" in lines[0]
    assert "did you mean gang?" in lines[1]


def test_the_usual_list_is_printed_to_be_copied(tmp_path: Path) -> None:
    (tmp_path / "mine.yaml").write_text(done("stress", "--usual"))
    file = network_file(tmp_path)
    text = words(done("stress", file, "--stresses", "mine.yaml", "--runs", 4, "--months", 0, *HERE))
    assert "Windows four weeks late: the scenario has no delivery of windows." in text
