"""The plan of a site: frozen values in SI numbers, the only thing that a run reads."""

from sitesim.plan.climate import Evaporation, Frost, HourlyRecord, Limits, Shelter, Sides, SoakedGround
from sitesim.plan.identity import digest_of
from sitesim.plan.plain import plain
from sitesim.plan.pours import Pour
from sitesim.plan.printing import DROP, NOZZLE, PUMPED, PlannedStop, PrintDay, Stop, Wall, WitnessPoint, in_drops
from sitesim.plan.printing_only import day_target, one_print_day, printing_only
from sitesim.plan.promises import Promise
from sitesim.plan.ripening import Law, Ripening
from sitesim.plan.sharing import Crowding, Sharing
from sitesim.plan.site import Building, Climate, Costs, Fortune, Plan, Shell, StartingState
from sitesim.plan.supply import DryStore, HoldingHopper, Link, Outage, ReadyMix, SiteMix, Supply, Traffic
from sitesim.plan.terms import (
    CAUSE_OF_KIND,
    CAUSE_OF_UNIT,
    STATE_OF_KIND,
    Cause,
    Doing,
    Kind,
    SpentOn,
    State,
    UnitKind,
)
from sitesim.plan.waited_for import Holders, WaitedFor, gang_of_unit, gangs_needed, work_of
from sitesim.plan.work import Hire, Inspection, Inspector, Learning, Node, Task, Unit

__all__ = [
    "CAUSE_OF_KIND",
    "CAUSE_OF_UNIT",
    "DROP",
    "NOZZLE",
    "PUMPED",
    "STATE_OF_KIND",
    "Building",
    "Cause",
    "Climate",
    "Costs",
    "Crowding",
    "Doing",
    "DryStore",
    "Evaporation",
    "Fortune",
    "Frost",
    "Hire",
    "Holders",
    "HoldingHopper",
    "HourlyRecord",
    "Inspection",
    "Inspector",
    "Kind",
    "Law",
    "Learning",
    "Limits",
    "Link",
    "Node",
    "Outage",
    "Plan",
    "PlannedStop",
    "Pour",
    "PrintDay",
    "Promise",
    "ReadyMix",
    "Ripening",
    "Sharing",
    "Shell",
    "Shelter",
    "Sides",
    "SiteMix",
    "SoakedGround",
    "SpentOn",
    "StartingState",
    "State",
    "Stop",
    "Supply",
    "Task",
    "Traffic",
    "Unit",
    "UnitKind",
    "WaitedFor",
    "Wall",
    "WitnessPoint",
    "day_target",
    "digest_of",
    "gang_of_unit",
    "gangs_needed",
    "in_drops",
    "one_print_day",
    "plain",
    "printing_only",
    "work_of",
]
