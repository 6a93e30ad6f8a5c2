"""What has to fit together across a scenario, each check with its own message."""

from __future__ import annotations

from sitesim.scenario.checks import (
    beliefs,
    conditions,
    crews,
    flow,
    money,
    network,
    relocation,
    sharing,
    site,
    supply,
    trouble,
    walls,
)
from sitesim.scenario.checks.case import Case
from sitesim.scenario.document import Document, Trail
from sitesim.scenario.faults import Fault
from sitesim.scenario.model import ScenarioModel

_CHECKS = (
    beliefs.check_beliefs,
    site.check_order,
    site.check_names_of_places,
    site.check_slab_dates,
    site.check_calendars,
    walls.check_printed_sections,
    walls.check_walls,
    walls.check_open_time,
    walls.check_waiver,
    walls.check_meal,
    supply.check_load,
    supply.check_ordering,
    supply.check_plant,
    supply.check_holding_hopper,
    supply.check_shares,
    supply.check_store,
    supply.check_pours,
    supply.check_buckets,
    supply.check_placing_by_printer,
    supply.check_working_life,
    supply.check_fleet,
    crews.check_skills,
    crews.check_gangs,
    crews.check_absences,
    crews.check_second_shift,
    flow.check_kept_running,
    flow.check_called,
    relocation.check_lifting,
    relocation.check_leaving,
    relocation.check_moves,
    relocation.check_travel,
    relocation.check_masses,
    relocation.check_fronts,
    network.check_sequences,
    sharing.check_alone,
    sharing.check_apart,
    money.check_hire,
    money.check_weekend_rates,
    money.check_heater,
    money.check_promises,
    conditions.check_limits,
    conditions.check_tent,
    conditions.check_measures,
    conditions.check_inspections,
    conditions.check_learning,
    conditions.check_breakdowns,
    trouble.check_missing,
    trouble.check_interruptions,
    trouble.check_weather_of_trouble,
)


def cross_faults(model: ScenarioModel, document: Document, mended: set[Trail]) -> list[Fault]:
    """Give the faults between the parts of a scenario; what hangs on a mended value is not looked at."""
    case = Case(model, document, mended)
    for check in _CHECKS:
        check(case)
    return case.faults
