"""Bad input, as it is told on standard error."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from command_line import (
    refused,
    sitesim,
)
from small_sites import network_file


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("check", "nowhere.yaml"), r"^nowhere\.yaml  cannot be read: No such file or directory$"),
        (("check", "."), r"^\.  cannot be read: "),
        (("run", "nowhere.yaml"), r"^nowhere\.yaml  cannot be read"),
        (("compare", "two-homes.yaml", "nowhere.yaml"), r"^nowhere\.yaml  cannot be read"),
        (("compare", "two-homes.yaml"), r"name two or more files"),
        (("stress", "nowhere.yaml"), r"^nowhere\.yaml  cannot be read"),
        (("stress", "two-homes.yaml", "--stresses", "nowhere.yaml"), r"^nowhere\.yaml  cannot be read"),
        (("stress", "two-homes.yaml", "--stresses", "two-homes.yaml"), r"^two-homes\.yaml:\d+  .* is not known here"),
        (("stress", "two-homes.yaml", "--date", "soon"), r"--date soon: is not a date; write it like 2027-12-17"),
        (("stress", "two-homes.yaml", "--only", "flood"), r"--only flood: there is no such stress: "),
        (("stress", "two-homes.yaml", "--months", "25"), r"--months"),
        (("deliveries", "two-homes.yaml"), r"nothing is printed here, so there is no concrete"),
        (("deliveries", "nowhere.yaml"), r"^nowhere\.yaml  cannot be read"),
        (("deliveries", "two-homes.yaml", "--building", "A"), r"--building, --from-layer and --date together"),
        (
            ("deliveries", "two-homes.yaml", "--building", "A", "--from-layer", "1", "--date", "soon"),
            r"^--date soon: is not a date; write it like 2027-05-04$",
        ),
        (("deliveries", "two-homes.yaml", "--trucks", "some"), r"--trucks some: not a number of trucks"),
        (("quote", "nowhere"), r"^nowhere: there is neither a folder of runs nor a scenario .* sitesim run FILE first"),
        (("quote", "."), r"no manifest\.json here, so this is not a folder of runs"),
        (("replay", ".", "0"), r"no manifest\.json here"),
        (("replay", "nowhere", "0"), r"^nowhere: no manifest\.json here"),
        (("report", "."), r"no manifest\.json here"),
        (("new", "two-homes.yaml"), r"^two-homes\.yaml: File exists$"),
        (("new", "two-homes.yaml/site.yaml"), r"^two-homes\.yaml: "),
        (("run", "two-homes.yaml", "--engine", "cluster"), r"'cluster' is not known; there are processes, here"),
        (("run", "two-homes.yaml", "--until", "soon"), r"--until soon: .*such as 1d or 12h"),
        (("run", "two-homes.yaml", "--runs", "0"), r"--runs"),
        (("run", "two-homes.yaml", "--runs", "many"), r"--runs"),
        (("run", "two-homes.yaml", "--seed", "-1"), r"--seed"),
        (("run", "two-homes.yaml", "--out", "two-homes.yaml"), r"^two-homes\.yaml: Not a directory$"),
        (("run", "two-homes.yaml", "--out", "."), r"is not empty and holds no runs; choose another folder with --out"),
        (("quote", "two-homes.yaml", "--confidence", "100"), r"^--confidence 100: should be per cent, from 1 to 99;"),
        (("quote", "two-homes.yaml", "--confidence", "0.8"), r"0\.8 of all is 80; write it like 80$"),
        (("quote", "two-homes.yaml", "--confidence", "sure"), r"--confidence sure: should be per cent"),
        (("replay", ".", "P80"), r"no manifest\.json here"),
        (("replay", ".", "first"), r"^first: is not a run; write its number, such as 12"),
        (("stress", "two-homes.yaml", "--only", "rainn"), r"did you mean rain, as in Rain lasts half again as long\?"),
        (("check", "two-homes.yaml", "--set", "crews.gang"), r"should be path=value"),
        (("check", "two-homes.yaml", "--set", "crews.gang.siez=3"), r"did you mean size\?"),
        (
            ("check", "two-homes.yaml", "--set", "site.horizon=tomorrow"),
            r"^--set site\.horizon=tomorrow  site\.horizon: ",
        ),
        (("weigh", "two-homes.yaml"), r"No such command 'weigh'"),
        (("run",), r"Missing argument"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, tuple) else "",
)
def test_bad_input_is_said_on_standard_error_in_words(tmp_path: Path, arguments: tuple[str, ...], said: str) -> None:
    network_file(tmp_path)
    assert re.search(said, refused(*arguments), re.MULTILINE)
    assert sorted(file.name for file in tmp_path.iterdir()) == ["two-homes.yaml"], "a refusal leaves nothing behind"


def test_all_faults_of_a_file_are_told_at_once_with_their_lines(tmp_path: Path) -> None:
    file = network_file(tmp_path, ("size: 2", "siez: 2"), ("[frame]", "[plaster]"), ("[4, 8, 16]", "[16, 8, 4]"))
    lines = refused("check", file.name).splitlines()
    assert [line.split("  ")[0] for line in lines] == ["two-homes.yaml:4", "two-homes.yaml:7", "two-homes.yaml:10"]
    assert "crews.gang.siez" in lines[0]
    assert "did you mean size?" in lines[0]
    assert "finishing.tasks.frame.time" in lines[1]
    assert "finishing.sequences.only.paint" in lines[2]


def test_a_file_that_is_no_yaml_is_told_with_its_line(tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text("name: [unclosed\nsite: {start: 2027-03-01}\n")
    assert refused("check", "site.yaml").startswith("site.yaml:")


def test_a_fault_of_ours_shows_itself(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("a fault of ours")

    monkeypatch.setattr("sitesim.study.answering.answer", broken)
    result = sitesim("run", network_file(tmp_path))
    assert result.exit_code == 1
    assert isinstance(result.exception, RuntimeError)
