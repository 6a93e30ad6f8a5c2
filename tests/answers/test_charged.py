"""To whom the days belong and what they cost; whether promised dates are met."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date

import pandas as pd
import pytest
from rigs import WEEKDAYS, bare_plan
from scipy.stats import t

from sitesim.answers.charged import charged_to_causes, day_rates, promised_dates
from sitesim.answers.dates import SiteDates
from sitesim.ledger import COLUMNS, HANDED_OVER
from sitesim.plan import Building, Costs, Hire, Plan, Promise, Unit, UnitKind


def frame(name: str, *rows: tuple[object, ...]) -> pd.DataFrame:
    return pd.DataFrame(list(rows), columns=list(COLUMNS[name]))


RUNS = pd.DataFrame(
    {"run": [0, 1, 2], "finish_hours": [24.0 * 9 + 15, 24.0 * 11, math.inf], "finished": [True, True, False]}
)
CAUSES = frame(
    "cost_causes",
    (0, "work", "", "gang roof", 500.0),
    (0, "waiting", "weather", "gang roof", 40.0),
    (0, "overhead", "weather", "site overhead", 100.0),
    (0, "penalty", "weather", "penalty site", 30.0),
    (0, "standby", "printer", "truck standby", 25.5),
    (1, "work", "", "gang roof", 600.0),
    (1, "hire", "weather", "tent hire", 10.0),
    (1, "overhead", "weather", "site overhead", 200.0),
    (1, "bonus", "", "bonus A1", -60.0),
    (2, "overhead", "weather", "site overhead", 1e6),
    (2, "penalty", "weather", "penalty site", 1e6),
)
DAYS = frame(
    "cost_days",
    (0, "", 0.0, 500.0),
    (0, "weather", 2.0, 170.0),
    (0, "printer", 6.0, 25.5),
    (1, "", 0.0, 540.0),
    (1, "weather", 4.0, 210.0),
    (2, "weather", 60.0, 2e6),
)


def test_what_is_charged_to_a_cause_is_the_mean_of_the_runs_that_finish() -> None:
    nobody, weather, printer = charged_to_causes(CAUSES, DAYS, RUNS)
    assert (nobody["cause"], nobody["amount"]["value"], nobody["days"]["value"]) == ("", 520.0, 0.0)
    assert (weather["cause"], weather["amount"]["value"], weather["days"]["value"]) == ("weather", 190.0, 3.0)
    assert (weather["running"], weather["idle"], weather["other"]) == (165.0, 25.0, 0.0)
    assert weather["spent_on"] == {"overhead": 150.0, "waiting": 20.0, "penalty": 15.0, "hire": 5.0}
    assert (printer["running"], printer["idle"], printer["other"]) == (0.0, 0.0, 12.75)
    assert printer["days"]["value"] == 3.0
    half = float(t.ppf(0.975, 1)) * 20.0  # 170 and 210
    assert weather["amount"]["high"] == pytest.approx(190.0 + half)


def test_without_a_run_that_finishes_nothing_is_charged() -> None:
    assert charged_to_causes(CAUSES, DAYS, RUNS[~RUNS["finished"]]) == []


def plan_of(*promises: Promise, units: tuple[Unit, ...] = ()) -> Plan:
    plan = bare_plan([], units, [Building("A", 0, ("A1",), None)], 60, WEEKDAYS)
    return replace(plan, promises=promises)


MILESTONES = frame(
    "milestones",
    *((run, "A", "", HANDED_OVER, hours) for run, hours in enumerate(RUNS["finish_hours"])),
    (0, "A", "A1", HANDED_OVER, 24.0 * 8),
    (1, "A", "A1", HANDED_OVER, 24.0 * 8 + 1.0),
    (2, "A", "A1", HANDED_OVER, 24.0 * 5),
)


def test_a_promise_is_met_to_the_end_of_its_day() -> None:
    # From Monday 1 March 2027: A1 on the 8th, the 9th and the 5th; the site on the 10th, the 11th and never.
    plan = plan_of(
        Promise("site", "", "", date(2027, 3, 10), penalty=30.0),
        Promise("A1", "A", "A1", date(2027, 3, 8), bonus=60.0, working=True),
        Promise("A", "A", "", date(2027, 3, 11)),
    )
    site, home, building = promised_dates(plan, SiteDates(plan.start, plan.calendars["site"]), RUNS, MILESTONES, CAUSES)
    assert site["met"]["value"] == pytest.approx(1 / 3)
    assert (home["met"]["value"], home["days"]) == (pytest.approx(2 / 3), "working")
    assert building["met"]["value"] == pytest.approx(2 / 3)
    assert (site["penalty"]["value"], site["bonus"]["value"]) == (15.0, 0.0)
    assert (home["penalty"]["value"], home["bonus"]["value"]) == (0.0, -30.0)
    assert (site["is_site"], home["is_site"]) == (True, False)


def test_a_day_costs_overhead_and_what_stays_on_site() -> None:
    units = (
        Unit("printer 1", UnitKind.PRINTER, "site", hire=Hire(day=500.0)),
        Unit("printer 2", UnitKind.PRINTER, "site", hire=Hire(day=500.0)),
        Unit("drywall 1", UnitKind.GANG, "site", hire=Hire(day=900.0)),
        Unit("drywall 2", UnitKind.GANG, "site", hire=Hire(day=900.0)),
        Unit("crane", UnitKind.CRANE, "site", on_call=True, hire=Hire(day=1400.0)),
        Unit("roof", UnitKind.GANG, "site", rate=100.0),
    )
    plan = replace(plan_of(units=units), costs=Costs("USD", overhead=2000.0, heater_day=60.0))
    assert [(rate["what"], rate["amount"], rate["per"]) for rate in day_rates(plan)] == [
        ("site overhead", 2000.0, "working day"),
        ("printer", 500.0, "day on site"),
        ("drywall", 900.0, "day on site"),
        ("heater", 60.0, "day on site"),
    ]
    assert day_rates(plan_of()) == []
