"""The closed lists of words that ledger, tables and pages share."""

from __future__ import annotations

from enum import StrEnum


class State(StrEnum):
    """What a gang or a machine is doing; the states of its time on site add up to that time."""

    WORKING = "working"
    MOVING = "moving"
    WAITING = "waiting"
    DOWN = "down"
    OVERTIME = "overtime"
    OFF_SHIFT = "off shift"


class Cause(StrEnum):
    """What somebody waited for, or what held the date."""

    CONCRETE = "concrete"
    SETTING = "setting"
    WEATHER = "weather"
    CREW = "crew"
    CRANE = "crane"
    TELEHANDLER = "telehandler"
    PRINTER = "printer"
    TENT = "tent"
    INSPECTION = "inspection"
    CURE = "cure"
    PREDECESSOR = "predecessor"
    BREAKDOWN = "breakdown"
    MATERIAL = "material"
    NO_WORK = "no work"


class SpentOn(StrEnum):
    """What money is spent on."""

    WORK = "work"
    OVERTIME = "overtime"
    WEEKEND = "weekend"
    WAITING = "waiting"
    HIRE = "hire"
    MOBILISATION = "mobilisation"
    CONCRETE = "concrete"
    WASTE = "waste"
    STANDBY = "standby"
    HEATING = "heating"
    INSPECTIONS = "inspections"
    OVERHEAD = "overhead"
    PENALTY = "penalty"
    BONUS = "bonus"


class Doing(StrEnum):
    """What crew and printer do on a print day while they do not wait."""

    TENT_SIDES = "seeing to the tent's sides"
    ALIGNING = "aligning"
    PLANNED_JOINT = "planned joint"
    TESTING = "testing"
    PRIMING = "priming"
    LAYING = "laying"
    KEEPING_WET = "keeping wet"
    PLANNED_STOP = "planned stop"
    UNPLANNED_JOINT = "unplanned joint"
    STOPPED = "stopped"
    MEAL = "meal"
    WASHING_OUT = "washing out"


class Kind(StrEnum):
    """What sort of step of a story an activity is."""

    WORK = "work"
    PRINTING = "printing"
    GANTRY = "gantry"
    TENT = "tent"
    INSPECTION = "inspection"
    CURE = "cure"
    DELIVERY = "delivery"
    HANDED_IN = "handed in"
    MILESTONE = "milestone"


class UnitKind(StrEnum):
    """What a resource of the time account is."""

    GANG = "gang"
    CRANE = "crane"
    TELEHANDLER = "telehandler"
    PRINTER = "printer"
    TENT = "tent"


CAUSE_OF_KIND = {
    Kind.WORK: Cause.PREDECESSOR,
    Kind.PRINTING: Cause.PRINTER,
    Kind.GANTRY: Cause.PRINTER,
    Kind.TENT: Cause.TENT,
    Kind.INSPECTION: Cause.INSPECTION,
    Kind.CURE: Cause.CURE,
    Kind.DELIVERY: Cause.MATERIAL,
    Kind.HANDED_IN: Cause.PREDECESSOR,
    Kind.MILESTONE: Cause.PREDECESSOR,
}
"""The cause to which time is charged while an activity of that kind goes on and others wait for it."""

CAUSE_OF_UNIT = {
    UnitKind.GANG: Cause.CREW,
    UnitKind.CRANE: Cause.CRANE,
    UnitKind.TELEHANDLER: Cause.TELEHANDLER,
    UnitKind.PRINTER: Cause.PRINTER,
    UnitKind.TENT: Cause.TENT,
}
"""The cause to which time is charged while a resource of that kind is busy elsewhere."""

STATE_OF_KIND = {Kind.GANTRY: State.MOVING, Kind.TENT: State.MOVING}
"""The state of a resource at work on an activity; plain working unless named here."""
