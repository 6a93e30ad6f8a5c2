"""The scenario to start from, and the schema for editors."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from cases import SCENARIOS, written

from sitesim.scenario import json_schema, load, new_text, write_new
from sitesim.scenario.reading import read_document


def test_the_scenario_to_start_from_loads_clean(tmp_path: Path) -> None:
    scenario, record = write_new(tmp_path / "fresh" / "mine.yaml")
    loaded = load(scenario)
    assert [building.name for building in loaded.plan().buildings] == ["North", "South"]
    assert list(loaded.data_files().values()) == [record]
    assert scenario.read_text() == new_text()


def test_every_line_of_its_sections_is_commented_or_plain_to_see() -> None:
    lines = new_text().splitlines()
    assert lines[0].startswith("# ")
    assert sum("#" in line for line in lines) > len(lines) / 3


def test_it_overwrites_nothing(tmp_path: Path) -> None:
    path = written(tmp_path, "mine: already\n")
    with pytest.raises(FileExistsError):
        write_new(path)
    assert path.read_text() == "mine: already\n"


@pytest.mark.parametrize("path", sorted(SCENARIOS.glob("*.yaml")), ids=lambda path: path.stem)
def test_the_schema_knows_all_that_ships(path: Path) -> None:
    schema = json_schema()
    assert wrong(read_document(path).data, schema, schema) == []


def test_the_schema_finds_an_unknown_key_and_a_wrong_kind() -> None:
    schema = json_schema()
    assert wrong({"suply": {}}, schema, schema) == ["suply"]
    assert wrong({"printer": {"speed": True}}, schema, schema) == ["printer.speed"]
    assert wrong({"supply": {"mode": "ready-mix", "batch": "1 m^3"}}, schema, schema) != []


@pytest.mark.parametrize(
    ("key", "short"),
    [("ground", "20 mm"), ("frost", "7 d"), ("frost", {"over": "7 d"}), ("evaporation", "0.2 lb/ft^2/h")],
)
def test_the_schema_takes_the_short_form_of_a_limit(key: str, short: Any) -> None:
    schema = json_schema()
    assert wrong({"weather": {"limits": {"printing": {key: short}}}}, schema, schema) == []
    refused = wrong({"weather": {"limits": {"printing": {key: [1, 2]}}}}, schema, schema)
    assert refused == [f"weather.limits.printing.{key}"]


def wrong(value: Any, schema: dict[str, Any], root: dict[str, Any], at: str = "") -> list[str]:
    """List the dotted paths that a schema refuses: as much of JSON Schema as ours uses."""
    if "$ref" in schema:
        return wrong(value, root["$defs"][schema["$ref"].rsplit("/", 1)[1]], root, at)
    for key in ("anyOf", "oneOf"):
        if key in schema:
            found = [wrong(value, option, root, at) for option in schema[key]]
            return min(found, key=len)
    if ("const" in schema and value != schema["const"]) or ("enum" in schema and value not in schema["enum"]):
        return [at]
    if "type" in schema and not is_of(value, schema["type"]):
        return [at]
    faults = []
    if isinstance(value, dict):
        known, free = schema.get("properties", {}), schema.get("additionalProperties", True)
        for key, inner in value.items():
            inside = known.get(key, free)
            path = f"{at}.{key}".lstrip(".")
            faults += [path] if inside is False else wrong(inner, inside, root, path) if inside is not True else []
    if isinstance(value, list):
        for index, inner in enumerate(value):
            faults += wrong(inner, schema.get("items", {}), root, f"{at}.{index}")
    return faults


def is_of(value: Any, kinds: str | list[str]) -> bool:
    """Tell whether a value is of one of the kinds of JSON."""
    types: dict[str, Any] = {"string": str, "array": list, "object": dict, "null": type(None), "boolean": bool}
    for kind in [kinds] if isinstance(kinds, str) else kinds:
        if kind in ("number", "integer"):
            if isinstance(value, int | float) and not isinstance(value, bool):
                return True
        elif isinstance(value, types[kind]):
            return True
    return False
