"""The sections ``costs`` and ``promise``."""

from __future__ import annotations

from sitesim.scenario.quantities import (
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


class CostRates(Section):
    """Rates that belong to no gang, in one currency; what is not given costs nothing."""

    currency: Name = "USD"
    overhead: Money = 0.0
    """A working day of the site."""
    printer_day: MoneyPerDay = 0.0
    """A day on site."""
    tent_day: MoneyPerDay = 0.0
    """A day on site."""
    fuel: MoneyPerEnergy = 0.0
    """Of the tent's heater, for each kWh of heat."""
    crane_call: Money = 0.0
    reinspection: Money = 0.0
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


class Promise(Section):
    """How sure a promised date should be."""

    confidence: SomeShare = 0.8
