"""The section ``supply``: ready-mix from a plant, or concrete mixed on site."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field

from sitesim.chance import Distribution, Fixed
from sitesim.plan import Link
from sitesim.scenario.quantities import (
    BusyShare,
    ClockHours,
    LongerLife,
    Share,
    SomeClockHours,
    SomeVolume,
    TimeOfDay,
    TrafficFactor,
    Volume,
)
from sitesim.scenario.sections.calendar import Dates, Spans
from sitesim.scenario.sections.section import Count, Name, Section
from sitesim.scenario.spreads import ClockTime, SomeClockTime, WorkingTime

DEFAULT_STEP = 0.5 * 0.9144**3
"""Half a cubic yard [m³], the step in which concrete is sold unless the scenario says otherwise."""
USUAL_CUT_OFF = 15.0
"""The time of day [h] of the cut-off for tomorrow's order unless the scenario says otherwise."""


class TrafficSpan(Section):
    """Hours of the day in which the road takes longer."""

    hours: Spans
    factor: TrafficFactor
    """How many times as long a haul takes that leaves in these hours."""


class OutageEntry(Section):
    """Plant, road or one truck lost: on dates that are known, or by chance."""

    name: Name
    of: Link
    on: Dates = ()
    """Dates on which it is known to be lost in these ``hours``."""
    hours: Spans = ((0.0, 24.0),)
    chance: Share = 0.0
    """Chance a day that it is lost without notice, from a moment within these ``hours`` on."""
    time: ClockTime | None = None
    """How long it is lost when it is lost by chance."""


class HoldingHopperEntry(Section):
    """A stirred hopper that takes a whole load and lets its truck go."""

    capacity: SomeVolume
    empties_in: SomeClockHours
    """The time in which a truck empties as much as the hopper holds."""
    refill_at: Volume = 0.0
    """What may be left when the next load is let in; the whole then counts as old as the rest."""
    life: LongerLife = 1.0
    """How many times as long concrete may be used from it."""


class ReadyMixSupply(Section):
    """A plant with trucks, and the loads ordered from it."""

    mode: Literal["ready-mix"]
    ordering: Literal["fixed", "will-call", "days-need"] = "fixed"
    """Loads at a fixed spacing; or called for when what is left lasts less than the lead; or each shortly before those
    ahead of it are expected to be used up."""
    load: SomeVolume
    spacing: SomeClockHours | None = None
    """Between the arrivals of two loads; for ``fixed``."""
    lead: SomeClockHours | None = None
    """From a call to the plant to the gate; for ``will-call`` and ``top_up``."""
    top_up: bool = False
    """Whether one more load is called for on a day that will run short; for ``fixed``."""
    early: ClockHours = 0.25
    """How long before the loads ahead of it are expected to be used up a load should be there; for ``days-need`` and
    ``will-call``."""
    first_arrival: TimeOfDay
    step: SomeVolume = DEFAULT_STEP
    """The plant sells whole steps."""
    least: SomeVolume = 2 * DEFAULT_STEP
    """The smallest load it sells."""
    trucks: Count
    capacity: SomeVolume = 20 * DEFAULT_STEP
    """What a truck carries."""
    calendar: Name | None = None
    """The plant's hours, one of the calendars; it never shuts unless given."""
    bays: Count = 1
    other_customers: BusyShare = 0.0
    """Share of a bay's time that loads of other customers take."""
    cut_off: TimeOfDay = USUAL_CUT_OFF
    """The time of day by which tomorrow's loads are ordered."""
    morning_call: Literal["adjust", "confirm"] = "adjust"
    """With the go of a morning loads that the day will not need are called off or made smaller; or the order is
    confirmed as it is."""
    notice: ClockHours = 0.0
    """How long before a load is batched the plant has to hear that it is not wanted, or smaller; until it is batched
    unless given."""
    loading: ClockTime = Fixed(0.25)
    haul: ClockTime
    traffic: tuple[TrafficSpan, ...] = ()
    """Hours in which a haul takes longer."""
    outages: tuple[OutageEntry, ...] = ()
    back: ClockTime | None = None
    """The way back; as long as the haul unless given."""
    gate: ClockHours = 0.0
    """Tests at the gate."""
    refused: Share = 0.0
    """Share of loads that fail those tests."""
    wash: ClockHours = 0.0
    """Wash of the truck on site after discharge."""
    holding_hopper: HoldingHopperEntry | None = None

    @property
    def way_back(self) -> Distribution:
        """The time [h] of the way back to the plant."""
        return self.haul if self.back is None else self.back


class Cleaning(Section):
    """Cleaning of the mixer between batches."""

    every: SomeClockHours
    time: ClockHours


class DryStoreEntry(Section):
    """The dry material at the mixer, counted as the concrete that it makes."""

    capacity: SomeVolume
    reorder_at: SomeVolume
    """The level at which the next delivery is ordered."""
    delivery: SomeVolume
    lead: WorkingTime
    """From the order to the delivery."""


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
    cleaning: Cleaning | None = None
    store: DryStoreEntry | None = None
    """Dry material on site; it never runs out unless given."""


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
