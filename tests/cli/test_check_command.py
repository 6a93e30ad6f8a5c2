"""`check`, `schema` and `new` as a user meets them."""

from __future__ import annotations

from pathlib import Path

from command_line import (
    HERE,
    done,
    refused,
    strict_json,
    words,
)
from small_sites import network_file


def test_check_says_back_what_will_be_played(tmp_path: Path) -> None:
    text = words(done("check", network_file(tmp_path)))
    assert "Two homes" in text
    assert "March 2027" in text
    assert "gang" in text


def test_check_says_at_once_how_many_cautions_there_are(tmp_path: Path) -> None:
    text = done("check", network_file(tmp_path))
    first, _, below = text.partition("Cautions\n")
    count = sum(line.startswith("·") for line in below.splitlines())
    assert count > 0
    assert f"no faults, {count} caution{'' if count == 1 else 's'}, told at the end." in words(first)


def test_check_takes_settings(tmp_path: Path) -> None:
    file = network_file(tmp_path)
    assert "Renamed" in done("check", file, "--set", "name=Renamed")


def test_the_schema_is_json_and_knows_the_sections() -> None:
    schema = strict_json(done("schema"))
    assert {"site", "calendar", "wall", "printer", "supply", "crews", "finishing"} <= set(schema["properties"])
    assert schema["additionalProperties"] is False


def test_from_an_empty_folder_to_a_date(tmp_path: Path) -> None:
    told = done("new", "my-site.yaml")
    assert "written: my-site.yaml" in told
    assert told.endswith("Next: sitesim check my-site.yaml, then sitesim run my-site.yaml\n")
    assert "Two printed buildings" in done("check", "my-site.yaml")
    text = words(done("run", "my-site.yaml", "--runs", 5, *HERE))
    assert "Four in five runs finish by" in text
    assert "The tables: outputs/my-site" in text
    assert (tmp_path / "outputs/my-site/report.html").exists()


def test_new_writes_over_nothing(tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text("mine")
    refused("new", "site.yaml")
    assert (tmp_path / "site.yaml").read_text() == "mine"
