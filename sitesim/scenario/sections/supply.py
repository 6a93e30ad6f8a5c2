"""The section ``supply``: ready-mix from a plant, or concrete mixed on site."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field

from sitesim.chance import Distribution, Fixed
from sitesim.scenario.quantities import ClockHours, Share, SomeClockHours, SomeVolume, TimeOfDay
from sitesim.scenario.sections.section import Count, Section
from sitesim.scenario.spreads import ClockTime, SomeClockTime

_HALF_YARD = 0.5 * 0.9144**3


class ReadyMixSupply(Section):
    """A plant with trucks, and the loads ordered from it."""

    mode: Literal["ready-mix"]
    load: SomeVolume
    spacing: SomeClockHours
    """Between the arrivals of two loads."""
    first_arrival: TimeOfDay
    step: SomeVolume = _HALF_YARD
    """The plant sells whole steps."""
    least: SomeVolume = 2 * _HALF_YARD
    """The smallest load it sells."""
    trucks: Count
    capacity: SomeVolume = 20 * _HALF_YARD
    """What a truck carries."""
    bays: Count = 1
    cut_off: TimeOfDay = 15.0
    """The time of day by which tomorrow's loads are ordered."""
    loading: ClockTime = Fixed(0.25)
    haul: ClockTime
    back: ClockTime | None = None
    """The way back; as long as the haul unless given."""
    gate: ClockHours = 0.0
    """Tests at the gate."""
    refused: Share = 0.0
    """Share of loads that fail those tests."""
    wash: ClockHours = 0.0
    """Wash of the truck on site after discharge."""

    @property
    def way_back(self) -> Distribution:
        """The time [h] of the way back to the plant."""
        return self.haul if self.back is None else self.back


class SiteMixing(Section):
    """A mixer on site with its own hands."""

    mode: Literal["site-mixing"]
    batch: SomeVolume
    cycle: SomeClockTime
    """From first water of one batch to that of the next."""
    ready: ClockHours = 0.75
    """From the start of the day to the first batch."""
    batch_fails: Share = 0.0
    """Share of batches that are thrown away."""


Supply = Annotated[ReadyMixSupply | SiteMixing, Field(discriminator="mode")]

MODES: Mapping[str, tuple[str, Mapping[str, frozenset[str]]]] = {
    "supply": (
        "mode",
        {
            "ready-mix": frozenset(ReadyMixSupply.model_fields),
            "site-mixing": frozenset(SiteMixing.model_fields),
        },
    )
}
"""Sections that come in modes: the key that names the mode, and the keys that each mode knows."""
