"""What is believed of each number of a scenario: a slip of its unit would leave it far outside of these."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple


class Believed(NamedTuple):
    """The values of a key, in ``unit``: ``usual_least`` to ``usual_most``, and beyond ``most`` none is believed.

    Below ``least`` none is believed either; 0, where the key takes it, always is.
    """

    unit: str
    usual_least: float
    usual_most: float
    most: float
    least: float = 0.0


def _b(unit: str, usual_least: float, usual_most: float, most: float, least: float = 0.0) -> Believed:
    return Believed(unit, usual_least, usual_most, most, least)


BELIEVED: Mapping[str, Believed] = {
    # site
    "Site.horizon": _b("d", 20, 3650, 36525),
    "Site.slab_cure": _b("d", 0.25, 60, 365),
    "BuildingEntry.at": _b("m", 0.0, 5000, 100_000),
    "BuildingEntry.layers_a_day": _b("", 1, 200, 10_000),
    # weather
    "Weather.block": _b("d", 1, 60, 366),
    "Weather.window": _b("d", 1, 92, 183),
    "Indoors.rise": _b("delta_degC", 1, 40, 100),
    "Indoors.set_point": _b("degC", 0, 35, 60, -50),
    "TemperatureRange.low": _b("degC", -40, 25, 60, -100),
    "TemperatureRange.high": _b("degC", 5, 55, 100, -50),
    "WorkLimits.gust": _b("m/s", 2, 40, 100, 0.5),
    "WorkLimits.wind": _b("m/s", 1.5, 30, 100, 0.5),
    "WorkLimits.rain": _b("mm/h", 0.05, 50, 500),
    "WorkLimits.before_rain": _b("h", 0.25, 48, 720),
    "WorkLimits.after_rain": _b("h", 0.25, 168, 720),
    "LiftedLoad.mass": _b("kg", 5, 50_000, 1_000_000),
    "LiftedLoad.sail_area": _b("m^2", 0.05, 500, 10_000),
    "GroundLimit.rain": _b("mm", 1, 300, 2000),
    "GroundLimit.within": _b("h", 1, 720, 8760),
    "FrostLimit.over": _b("h", 6, 1440, 8760),
    "FrostLimit.below": _b("degC", -15, 10, 60, -50),
    "EvaporationLimit.most": _b("kg/m^2/h", 0.1, 3, 20),
    "EvaporationLimit.concrete": _b("degC", 0, 45, 80, -20),
    "EvaporationLimit.measures": _b("min", 0.2, 60, 480),
    # wall
    "Wall.height": _b("m", 0.3, 12, 200),
    "Wall.layer_height": _b("mm", 3, 120, 1000),
    "Wall.bead_width": _b("mm", 10, 600, 3000),
    "Wall.layers_a_day": _b("", 1, 200, 10_000),
    "PathRange.path": _b("m", 1, 5000, 100_000),
    "PathRange.turns": _b("", 0, 2000, 100_000),
    "JointSteel.time": _b("min", 0.5, 240, 1440),
    "Lintels.mass": _b("kg", 2, 2000, 100_000),
    "Lintels.each": _b("min", 0.2, 60, 480),
    "Lintels.bed": _b("min", 1, 1440, 4320),
    "LayerStop.time": _b("min", 0.5, 480, 1440),
    "Cure.time": _b("d", 0.25, 60, 365),
    "MaturityGoal.reached": _b("delta_degC*h", 50, 30_000, 1_000_000),
    "MaturityGoal.datum": _b("degC", -15, 10, 30, -50),
    # tasks
    "Work.time": _b("wd", 0.01, 120, 1000),
    "Work.lifts": _b("kg", 2, 100_000, 1_000_000),
    "TravelWork.per_100_m": _b("min", 0.1, 2880, 14_400),
    "TravelWork.speed": _b("m/s", 0.005, 3, 10),
    "PourEntry.volume": _b("m^3", 0.05, 500, 10_000),
    "PourEntry.rate": _b("m^3/h", 0.5, 120, 500),
    "PourEntry.load": _b("m^3", 0.2, 12, 30),
    "PourEntry.spacing": _b("min", 3, 480, 1440),
    "PourEntry.prepare": _b("min", 1, 480, 1440),
    "PourEntry.finish": _b("min", 1, 480, 1440),
    "PourEntry.working_life": _b("min", 10, 720, 4320),
    "PourEntry.longest_break": _b("min", 1, 480, 1440),
    "PourEntry.loading": _b("min", 1, 240, 1440),
    "PourEntry.haul": _b("min", 1, 360, 1440),
    "PourEntry.gate": _b("min", 0.5, 120, 720),
    "After.lag": _b("d", 0.02, 90, 730),
    "Delivery.lead": _b("wd", 0.05, 260, 1000),
    # printer, tent, pump
    "Printer.speed": _b("mm/s", 10, 1000, 10_000),
    "Printer.travel": _b("", 0, 1.5, 10),
    "Printer.go_before": _b("min", 1, 720, 2880),
    "Printer.align": _b("min", 1, 240, 1440),
    "Printer.least_day": _b("h", 0.25, 12, 24),
    "Printer.slump_check": _b("min", 0.5, 60, 720),
    "Printer.turn": _b("s", 0.05, 60, 3600),
    "Printer.rated_lift": _b("kg", 5, 5000, 100_000),
    "Meal.after": _b("h", 0.5, 12, 720),
    "Meal.time": _b("min", 5, 120, 1440),
    "Tent.rated_gust": _b("m/s", 6, 70, 150, 1),
    "Heater.rise": _b("delta_degC", 1, 40, 100),
    "Heater.set_point": _b("degC", 0, 40, 80, -50),
    "Heater.power": _b("kW", 0.5, 2000, 100_000),
    "TentSides.time": _b("min", 2, 480, 1440),
    "Pump.hopper": _b("m^3", 0.01, 3, 20),
    "Pump.priming": _b("m^3", 0.002, 1.5, 10),
    "Pump.prime": _b("min", 0.5, 120, 720),
    "Pump.wash_out": _b("min", 1, 240, 1440),
    "Hose.length": _b("m", 2, 300, 2000),
    "Hose.bore": _b("mm", 10, 200, 1000),
    # concrete
    "Concrete.density": _b("kg/m^3", 300, 3500, 10_000, 50),
    "Concrete.waste": _b("", 0, 0.3, 1),
    "Concrete.specimens": _b("m^3", 0.0005, 0.5, 10),
    "Concrete.working_life": _b("min", 5, 720, 4320),
    "Concrete.open_time": _b("min", 1, 720, 4320),
    "Concrete.layer_interval": _b("min", 0.1, 480, 1440),
    "Concrete.build_up": _b("Pa/s", 0.005, 50, 1000),
    "Warmth.rise": _b("delta_degC", 0.1, 40, 100),
    "Warmth.least": _b("degC", -5, 35, 60, -100),
    "Accelerator.life": _b("min", 0.5, 120, 1440),
    "Accelerator.build_up": _b("Pa/s", 0.005, 200, 10_000),
    "Accelerator.clear": _b("min", 1, 240, 1440),
    "Waiver.until": _b("min", 5, 720, 4320),
    "JointPreparation.time": _b("min", 0.2, 240, 1440),
    "JointPreparation.concrete": _b("m^3", 0.0005, 0.5, 10),
    "PlannedJoint.time": _b("min", 0.2, 240, 1440),
    "PlannedJoint.concrete": _b("m^3", 0.0005, 0.5, 10),
    "FreshStrength.strength": _b("kPa", 0.05, 1000, 1_000_000),
    "FreshStrength.strength_growth": _b("kPa/h", 0.05, 100_000, 100_000_000),
    "FreshStrength.stiffness": _b("kPa", 1, 1_000_000, 1_000_000_000),
    "FreshStrength.stiffness_growth": _b("kPa/h", 0.1, 100_000_000, 1_000_000_000),
    # supply
    "ReadyMixSupply.load": _b("m^3", 0.2, 14, 30),
    "ReadyMixSupply.spacing": _b("min", 5, 480, 1440),
    "ReadyMixSupply.lead": _b("min", 5, 480, 1440),
    "ReadyMixSupply.early": _b("min", 1, 240, 1440),
    "ReadyMixSupply.notice": _b("min", 5, 720, 1440),
    "ReadyMixSupply.step": _b("m^3", 0.01, 3, 30),
    "ReadyMixSupply.least": _b("m^3", 0.01, 10, 30),
    "ReadyMixSupply.trucks": _b("", 1, 60, 1000),
    "ReadyMixSupply.capacity": _b("m^3", 0.2, 16, 30),
    "ReadyMixSupply.bays": _b("", 1, 10, 100),
    "ReadyMixSupply.loading": _b("min", 1, 240, 1440),
    "ReadyMixSupply.haul": _b("min", 1, 360, 1440),
    "ReadyMixSupply.back": _b("min", 1, 360, 1440),
    "ReadyMixSupply.gate": _b("min", 0.5, 120, 720),
    "ReadyMixSupply.wash": _b("min", 0.5, 60, 720),
    "OutageEntry.time": _b("h", 0.05, 336, 8760),
    "HoldingHopperEntry.capacity": _b("m^3", 0.2, 20, 100),
    "HoldingHopperEntry.empties_in": _b("min", 0.2, 120, 720),
    "HoldingHopperEntry.refill_at": _b("m^3", 0.005, 10, 100),
    "SiteMixing.batch": _b("m^3", 0.005, 6, 30),
    "SiteMixing.cycle": _b("min", 0.5, 120, 720),
    "SiteMixing.ready": _b("min", 1, 240, 1440),
    "Cleaning.every": _b("h", 0.25, 24, 720),
    "Cleaning.time": _b("min", 0.5, 240, 1440),
    "DryStoreEntry.capacity": _b("m^3", 0.2, 1000, 10_000),
    "DryStoreEntry.reorder_at": _b("m^3", 0.05, 1000, 10_000),
    "DryStoreEntry.delivery": _b("m^3", 0.1, 200, 10_000),
    "DryStoreEntry.lead": _b("wd", 0.02, 60, 520),
    # crews, inspectors
    "Gang.size": _b("", 1, 60, 1000),
    "Gang.count": _b("", 1, 30, 1000),
    "Gang.notice": _b("wd", 0.02, 60, 520),
    "Gang.stays": _b("wd", 0.02, 120, 1000),
    "Gang.call_ahead": _b("wd", 0.02, 120, 1000),
    "Gang.start_delay": _b("wd", 0.02, 520, 2600),
    "LiftingMachine.count": _b("", 1, 20, 1000),
    "LiftingMachine.lifts": _b("kg", 50, 500_000, 2_000_000),
    "Crowd.above": _b("", 1, 30, 1000),
    "InspectorEntry.notice": _b("wd", 0.02, 40, 260),
    "InspectorEntry.visits_a_day": _b("", 1, 40, 1000),
    "InspectorEntry.visit": _b("min", 2, 480, 1440),
    "InspectorEntry.moved_until": _b("h", 0.1, 336, 8760),
    "Point.rework": _b("wd", 0.005, 40, 520),
    # breakdowns
    "Breakdown.every": _b("h", 0.25, 20_000, 1_000_000, 0.02),
    "Breakdown.time": _b("min", 0.2, 10_080, 525_600),
    "OldConcrete.after": _b("min", 5, 1440, 4320),
    "OldConcrete.counts": _b("", 1, 50, 1000),
    "LongPause.after": _b("min", 0.5, 480, 1440),
    "LongPause.counts": _b("", 0, 200, 10_000),
    # costs
    "CostRates.short_under": _b("m^3", 0.05, 14, 30),
    "CostRates.standby_free": _b("min/m^3", 0.2, 60, 600),
    # trouble
    "HarsherWeather.rain_lasts": _b("", 1, 5, 24),
    "HarsherWeather.wind": _b("", 1, 3, 10),
    "HarsherWeather.colder": _b("delta_degC", 0.1, 20, 60),
    "Missing.lasts": _b("d", 1, 366, 3650),
    "Interruption.lasts": _b("d", 1, 183, 3650),
}
"""By the section that knows a key and its name. The bounds are common practice, no source, and wide of it: beyond the
usual ones stands a warning, beyond the others a fault. Sums of money have none, since a currency may be any; shares,
spans of layers, dates and what must fit something else written are bounded where they are read or checked."""

_OF_A_PIECE_OF_WORK = ("h", "min", "wd")
_OF_A_WHILE = ("min", "h", "d")
_OF_A_MOMENT = ("s", "min")
_OF_A_PART = ("mm", "cm", "m", "in", "ft")
_OF_WIND = ("km/h", "mph", "knot", "m/s")
_OF_A_NOZZLE = ("mm/s", "cm/s", "m/min", "m/s")

MIXED_UP_WITH: Mapping[str, tuple[str, ...]] = {
    "wd": _OF_A_PIECE_OF_WORK,
    "d": ("h", "min", "d"),
    "h": _OF_A_WHILE,
    "min": _OF_A_WHILE,
    "s": _OF_A_MOMENT,
    "m": _OF_A_PART,
    "mm": _OF_A_PART,
    "m/s": _OF_WIND,
    "mm/s": _OF_A_NOZZLE,
    "m^3": ("yd^3", "ft^3", "L", "m^3"),
    "kg": ("lb", "g", "kg", "t"),
    "kg/m^3": ("lb/ft^3", "g/cm^3", "kg/m^3"),
    "degC": ("degF", "degC"),
    "mm/h": ("in/h", "mm/h"),
    "kPa": ("Pa", "kPa", "MPa"),
    "kW": ("W", "kW", "Btu/h"),
    "min/m^3": ("min/yd^3", "min/m^3", "s/m^3"),
}
"""Units that a number may be meant in, by the unit of `BELIEVED`; the likelier first."""
