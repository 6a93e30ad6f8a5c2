"""The sections ``costs`` and ``promise``."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from sitesim.scenario.quantities import (
    CivilDate,
    Money,
    MoneyPerDay,
    MoneyPerEnergy,
    MoneyPerHour,
    MoneyPerVolume,
    SomeShare,
    StandbyFree,
    Volume,
)
from sitesim.scenario.sections.section import Name, Section


class Hired(Section):
    """What a gang or a machine costs besides its hours."""

    day: MoneyPerDay = 0.0
    """Hire by the day in place of a rate by the hour."""
    mobilisation: Money = 0.0
    """Once, for coming to the site."""
    demobilisation: Money = 0.0
    """Once, for leaving it."""


class CostRates(Section):
    """Rates that belong to no gang, in one currency; what is not given costs nothing."""

    currency: Name = "USD"
    overhead: Money = 0.0
    """A working day of the site."""
    printer_day: MoneyPerDay = 0.0
    """A day on site."""
    printer_mobilisation: Money = 0.0
    """Once for each printer, for bringing it to the site."""
    printer_demobilisation: Money = 0.0
    tent_day: MoneyPerDay = 0.0
    """A day on site."""
    tent_mobilisation: Money = 0.0
    """Once for each tent, for bringing it to the site."""
    tent_demobilisation: Money = 0.0
    heater_day: MoneyPerDay = 0.0
    """Hire of a tent's heater, for each day that the tent is on site."""
    fuel: MoneyPerEnergy = 0.0
    """Of the tent's heater, for each kWh of heat."""
    crane_call: Money = 0.0
    """Each time that a crane is called, besides its hours; one that stays is not called."""
    reinspection: Money = 0.0
    """A visit that follows one that failed."""
    lost_visit: Money = 0.0
    """A visit that is lost, since the work is later than it."""
    mix: MoneyPerVolume = 0.0
    """Ready-mix."""
    short_load: MoneyPerVolume = 0.0
    """What each load under ``short_under`` costs more."""
    short_under: Volume = 0.0
    standby: MoneyPerHour = 0.0
    """Of a truck beyond ``standby_free``."""
    standby_free: StandbyFree = 0.0
    disposal: MoneyPerVolume = 0.0
    """Of concrete returned or rejected."""
    cancellation: Money = 0.0
    """A load called off after the cut-off."""
    holding_hopper: MoneyPerDay = 0.0
    """A working day from the first print day to the last."""
    blend: MoneyPerVolume = 0.0
    """Dry material mixed on site."""
    hands: MoneyPerHour = 0.0
    """All hands at the mixer."""
    mixer: MoneyPerDay = 0.0
    """A print day."""


class PromisedDate(Section):
    """A date that has been promised for the site, a building or a home, and what it costs to miss it.

    It is met to the end of the day.
    """

    by: CivilDate | None = None
    """The date; for a building the one in ``site.buildings`` unless given."""
    penalty: MoneyPerDay = 0.0
    """For each day later."""
    most_penalty: Money | None = None
    """The most that the penalty comes to."""
    bonus: MoneyPerDay = 0.0
    """For each day earlier."""
    most_bonus: Money | None = None
    """The most that the bonus comes to."""


class Promise(Section):
    """How sure a promised date should be, and the dates that have been promised."""

    confidence: SomeShare = 0.8
    days: Literal["calendar", "working"] = "calendar"
    """Which days count as late or early: all, or those on which the site works."""
    dates: dict[Name, PromisedDate] = Field(default_factory=dict)
    """By the name of a building or home, or ``site`` for the last hand-over of all."""
