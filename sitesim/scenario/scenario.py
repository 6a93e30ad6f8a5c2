"""A scenario that has been read and found free of faults."""

from __future__ import annotations

import hashlib
import io
import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML

from sitesim.plan import Plan
from sitesim.scenario.document import plain_copy
from sitesim.scenario.model import ScenarioModel
from sitesim.scenario.planning import make_plan
from sitesim.scenario.telling import (
    assume_weather,
    tell_assumptions,
    tell_cautions,
    tell_description,
    tell_limits,
    tell_weather_cautions,
)
from sitesim.scenario.telling.measures import Measures
from sitesim.scenario.telling.trouble import tell_assumptions_of_trouble, tell_trouble
from sitesim.weather.record import WeatherRecord


@dataclass(frozen=True, eq=False)
class Scenario:
    """A scenario ready to be played.

    Parameters: ``path``, the file that was asked for; ``model``, the checked numbers; ``content``, what the files and
    settings say when laid over one another, data files by their bare names; ``files``, those data files; ``record``,
    the weather, or None; ``doubts``, what is unusual about its numbers.
    """

    path: Path
    model: ScenarioModel
    content: Mapping[str, Any]
    files: Mapping[str, Path]
    record: WeatherRecord | None
    doubts: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """What the scenario is called."""
        return self.model.name

    @property
    def units(self) -> str:
        """The units of pages and terminal: ``us`` or ``metric``."""
        return self.model.units

    @property
    def currency(self) -> str:
        """The code of the currency of all costs."""
        return self.model.costs.currency

    @property
    def confidence(self) -> float:
        """How sure a promised date should be, as a share."""
        return self.model.promise.confidence

    @property
    def day_hours(self) -> float:
        """The hours [h] of one working day (wd)."""
        return self.model.day_hours

    def plan(self) -> Plan:
        """Give the plan, made once."""
        return self._plan

    @cached_property
    def _plan(self) -> Plan:
        return make_plan(self.model, self.record)

    @property
    def resolved(self) -> dict[str, Any]:
        """A copy of the content, inheritance and settings resolved; it can be changed freely."""
        copied: dict[str, Any] = plain_copy(dict(self.content))
        return copied

    def resolved_yaml(self) -> str:
        """Write the resolved content as YAML; data files are named without a folder, so keep copies beside it."""
        yaml = YAML()
        yaml.default_flow_style = False
        yaml.width = 110
        text = io.StringIO()
        yaml.dump(self.resolved, text)
        return text.getvalue()

    def data_files(self) -> dict[str, Path]:
        """Give the data files to be kept beside `resolved_yaml`, by the names that it gives them."""
        return dict(self.files)

    @cached_property
    def digest(self) -> str:
        """The SHA-256 of what is played: the resolved content and the bytes of its data files, wherever they lie."""
        content = json.dumps(self.content, ensure_ascii=False, separators=(",", ":"))
        total = hashlib.sha256(content.encode())
        for name, path in sorted(self.files.items()):
            total.update(name.encode())
            total.update(hashlib.sha256(path.read_bytes()).digest())
        return total.hexdigest()

    def description(self) -> list[str]:
        """Say back in words what will be played, a line for each thing."""
        return [*tell_description(self.model, self.plan(), self.record), *tell_trouble(self.model)]

    def assumptions(self) -> list[str]:
        """Say what the model assumes with these numbers."""
        return [*tell_assumptions(self.model, self.plan(), self.record), *tell_assumptions_of_trouble(self.model)]

    def weather_assumptions(self) -> list[str]:
        """Say what the model assumes of the weather."""
        return [*assume_weather(self.model, self.record), *tell_trouble(self.model)]

    def weather_cautions(self) -> list[str]:
        """Say what nobody should forget when looking at the weather."""
        return tell_weather_cautions(self.model, self.plan(), self.record)

    def limits_in_words(self) -> dict[str, str]:
        """Say of each kind of work in which weather it may go on."""
        weather, measures = self.model.weather, Measures(self.units == "us")
        return {} if weather is None else {kind: tell_limits(entry, measures) for kind, entry in weather.limits.items()}

    def cautions(self) -> list[str]:
        """Say what nobody should forget on a site like this."""
        return [*self.doubts, *tell_cautions(self.model, self.plan(), self.record)]
