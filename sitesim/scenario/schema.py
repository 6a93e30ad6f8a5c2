"""The JSON Schema of a scenario file, for editors."""

from __future__ import annotations

from typing import Any

from sitesim.scenario.model import ScenarioModel


def json_schema() -> dict[str, Any]:
    """Give the schema of a scenario file.

    Nothing is required by it, since a file may extend another; what is missing in the end, `load` tells. Defaults are
    left out, since the models keep them as plain SI numbers.
    """
    schema: dict[str, Any] = _without(ScenarioModel.model_json_schema(), ("required", "default"))
    schema["title"] = "A scenario of sitesim"
    schema["properties"] = {
        "extends": {"type": "string", "description": "The scenario that this one is laid over."},
        **schema["properties"],
    }
    return schema


def _without(value: Any, keys: tuple[str, ...], names: bool = False) -> Any:
    """Copy a schema without some of its keywords; ``names`` tells that the keys are a user's and not keywords."""
    if isinstance(value, dict):
        return {
            key: _without(inner, keys, key in ("properties", "$defs") and not names)
            for key, inner in value.items()
            if names or key not in keys
        }
    return [_without(inner, keys) for inner in value] if isinstance(value, list) else value
