"""What a run costs, recomputed by hand from rates and from what happened."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from rigs import MONDAY, ROUND_THE_CLOCK, WEEKDAYS, bare_plan, printing_plan, ready_mix, site_mix

from sitesim.hours import Calendar, WeekPattern
from sitesim.ledger import NOBODY, Account, Concrete, Counts, Ledger, Load, TimeKey
from sitesim.ledger.bill import Bill
from sitesim.ledger.chain import Stretch
from sitesim.ledger.costs import Accounts, Billing
from sitesim.ledger.held import WorkingDays
from sitesim.plan import Building, Cause, Costs, Hire, Kind, Plan, State, Unit, UnitKind

SITE = WEEKDAYS.over(MONDAY, 60)
GANG = Unit("roof", UnitKind.GANG, "site", rate=190.0, overtime_rate=285.0, waiting_rate=150.0)
PRINTER = Unit("printer", UnitKind.PRINTER, "site", hire=Hire(day=400.0))
TENT = Unit("tent", UnitKind.TENT, "site", hire=Hire(day=100.0))
CRANE = Unit("crane", UnitKind.CRANE, "site", on_call=True)
RATES = Costs("USD", overhead=1000.0, crane_call=900.0, reinspection=120.0, lost_visit=75.0)


def load(ordered: float, standby: float = 0.0) -> Load:
    return Load("A", 0, 1, ordered, 7.0, 5.75, 6.0, 7.0, 7.125, 9.0, ordered, 0.0, 0.0, standby, "placed")


def plan_of(*units: Unit) -> Plan:
    return replace(bare_plan([], units, [Building("A", 0, (), None)], 60, WEEKDAYS), costs=RATES)


def billed(
    plan: Plan,
    ledger: Ledger | None = None,
    time: Mapping[TimeKey, float] | None = None,
    finish: float = 0.0,
    chain: list[Stretch] | None = None,
    site: Calendar = SITE,
) -> Bill:
    ledger = ledger or Ledger()
    billing = Billing(plan, site)
    account = Account(ledger.entries, [SITE] * len(plan.units))
    days = billing.working_days.by_cause(chain or [], finish)
    return billing.bill(ledger, Accounts(account, time or {}, chain or [], finish), days)


def lines(bill: Bill) -> dict[tuple[str, str, str], float]:
    return {(spent_on, cause or "", item): cents / 100 for spent_on, cause, item, cents in bill.lines()}


def items(bill: Bill) -> dict[str, float]:
    return {item: cents / 100 for item, cents in bill.items().items()}


def engaged(*spans: tuple[float, float]) -> Ledger:
    """Engage the first units of a plan, one span [h] each."""
    ledger = Ledger()
    for unit, (start, end) in enumerate(spans):
        ledger.note(NOBODY, f"A/work {unit}", Kind.WORK, 0, (start, NOBODY, ()), start, end, units=(unit,))
    return ledger


def test_gangs_are_paid_at_work_in_waiting_and_for_overtime() -> None:
    time = {
        (0, State.WORKING, None): 10.0,
        (0, State.MOVING, None): 2.0,
        (0, State.WAITING, Cause.WEATHER): 3.0,
        (0, State.DOWN, Cause.BREAKDOWN): 1.0,
        (0, State.OVERTIME, None): 2.0,
        (0, State.OFF_SHIFT, None): 32.0,
    }
    assert lines(billed(plan_of(GANG), time=time)) == {
        ("work", "", "gang roof"): 12 * 190.0,
        ("waiting", "weather", "gang roof"): 3 * 150.0,
        ("waiting", "breakdown", "gang roof"): 150.0,
        ("overtime", "", "gang roof"): 2 * 285.0,
    }


def test_machines_are_hired_by_the_day_from_first_to_last() -> None:
    bill = billed(plan_of(PRINTER, TENT), engaged((7.0, 55.0), (7.0, 31.0)))
    assert lines(bill) == {("hire", "", "printer hire"): 2 * 400.0, ("hire", "", "tent hire"): 100.0}
    assert lines(billed(plan_of(PRINTER, TENT))) == {}


def test_the_hire_of_a_machine_is_charged_by_what_it_waited_for() -> None:
    # 20 days at 400; on shift 100 h at work, 50 h behind the cure, 10 h down: 8,000 in the ratio 10 : 5 : 1.
    time = {
        (0, State.WORKING, None): 60.0,
        (0, State.MOVING, None): 38.0,
        (0, State.OVERTIME, None): 2.0,
        (0, State.WAITING, Cause.CURE): 50.0,
        (0, State.DOWN, Cause.BREAKDOWN): 10.0,
        (0, State.OFF_SHIFT, None): 320.0,
    }
    assert lines(billed(plan_of(PRINTER), engaged((0.0, 480.0)), time)) == {
        ("hire", "", "printer hire"): 5000.0,
        ("hire", "cure", "printer hire"): 2500.0,
        ("hire", "breakdown", "printer hire"): 500.0,
    }


def test_overhead_goes_by_working_days_until_the_finish() -> None:
    # Monday to Friday, then Monday until noon: six days; the weekend costs nothing.
    assert items(billed(plan_of(), finish=7 * 24.0 + 12.0)) == {"site overhead": 6000.0}
    # A day that has a break is one day, and a site that never closes has days all the same.
    with_break = replace(WEEKDAYS, spans=dict.fromkeys(range(5), ((7.0, 11.0), (12.0, 15.0)))).over(MONDAY, 60)
    assert items(billed(plan_of(), finish=7 * 24.0 + 13.0, site=with_break)) == {"site overhead": 6000.0}
    assert items(billed(plan_of(), finish=60.0, site=ROUND_THE_CLOCK.over(MONDAY, 60))) == {"site overhead": 3000.0}


def test_overhead_is_charged_to_what_held_the_date_on_each_day() -> None:
    # Monday is the weather's until noon, five of its eight hours, then another task's until Tuesday night; on Wednesday
    # the site waits from seven for an inspector, who comes at nine: of the last day only these two hours count.
    chain = [
        (48.0, 57.0, Cause.INSPECTION, 1),
        (12.0, 48.0, Cause.PREDECESSOR, 0),
        (0.0, 12.0, Cause.WEATHER, 0),
    ]
    bill = billed(plan_of(), finish=57.0, chain=chain)
    assert lines(bill) == {
        ("overhead", "weather", "site overhead"): 625.0,
        ("overhead", "predecessor", "site overhead"): 1375.0,
        ("overhead", "inspection", "site overhead"): 1000.0,
    }


def test_working_days_are_shared_by_shift_hours_and_the_weekend_is_nobodys() -> None:
    days = WorkingDays(SITE)
    chain = [(96.0, 7 * 24.0 + 15.0, Cause.CURE, 1), (0.0, 96.0, Cause.PRINTER, 0)]  # four days; Friday and Monday
    assert days.by_cause(chain, 7 * 24.0 + 15.0) == {Cause.PRINTER: 4.0, Cause.CURE: 2.0}
    assert days.by_cause(chain, 96.0) == {Cause.PRINTER: 4.0}
    assert days.by_cause(chain, 7.0) == {}
    assert days.by_cause(chain[:1], 7 * 24.0 + 15.0) == {Cause.CURE: 2.0, None: 4.0}
    assert days.by_cause([], 15.0) == {None: 1.0}


def test_a_short_working_day_is_a_day() -> None:
    # Fridays end at eleven: four hours. Thursday's last four hours are half a day, Friday's four a whole one.
    week = WeekPattern({**dict.fromkeys(range(4), ((7.0, 15.0),)), 4: ((7.0, 11.0),)})
    days = WorkingDays(week.over(MONDAY, 60))
    chain = [(83.0, 107.0, Cause.CREW, 1), (0.0, 83.0, Cause.PRINTER, 0)]
    assert days.by_cause(chain, 107.0) == {Cause.PRINTER: 3.5, Cause.CREW: 1.5}


def test_calls_and_visits_are_counted() -> None:
    ledger = Ledger(counts=Counts(crane_calls=3, inspections=9, failed_inspections=2, lost_visits=4))
    found = {
        ("mobilisation", "", "crane calls"): 2700.0,
        ("inspections", "inspection", "inspections repeated"): 240.0,
        ("inspections", "predecessor", "visits lost"): 300.0,
    }
    assert lines(billed(plan_of(CRANE), ledger)) == found
    del found["mobilisation", "", "crane calls"]
    assert lines(billed(plan_of(replace(CRANE, on_call=False)), ledger)) == found


def test_machines_that_never_come_are_not_mobilised_and_the_heater_is_hired_with_the_tent() -> None:
    tent = replace(TENT, hire=Hire(mobilisation=1500.0, demobilisation=500.5))
    plan = plan_of(tent, replace(tent, name="second tent"))
    plan = replace(plan, costs=replace(RATES, heater_day=45.0, heater_hour=15.0))
    ledger = engaged((24.0, 60.0))
    ledger.counts.heated_hours = 10.5
    assert lines(billed(plan, ledger)) == {
        ("mobilisation", "", "tent mobilisation"): 2000.5,
        ("heating", "weather", "heater hire"): 67.5,
        ("heating", "weather", "tent heating"): 157.5,
    }


def test_ready_mix_is_paid_by_the_load() -> None:
    # 200 a m³; 50 a m³ for loads under 3 m³; 130 an hour of standby; 60 a m³ thrown away; 100 a load called off.
    ledger = Ledger(
        loads=[load(4.0, 0.5), load(2.5, 1.0), load(3.0)],
        concrete=Concrete(
            batched=9.5,
            in_place=8.0,
            joint_preparation=0.125,
            rejected=0.5,
            returned=0.25,
            priming=0.125,
            washed_out=0.25,
            lost_to_blockages=0.25,
        ),
        counts=Counts(loads_called_off=3, loads_called_off_by_weather=2),
    )
    bill = billed(replace(plan_of(), supply=ready_mix()), ledger)
    assert lines(bill) == {
        ("concrete", "", "ready-mix"): 1625.0,
        ("waste", "", "ready-mix"): 125.0,
        ("waste", "concrete", "ready-mix"): 100.0,
        ("waste", "breakdown", "ready-mix"): 50.0,
        ("concrete", "", "short loads"): 125.0,
        ("standby", "printer", "truck standby"): 195.0,
        ("waste", "", "disposal"): 15.0,
        ("waste", "concrete", "disposal"): 30.0,
        ("waste", "weather", "loads called off"): 200.0,
        ("waste", "printer", "loads called off"): 100.0,
    }
    assert items(bill)["ready-mix"] == 9.5 * 200.0


def test_mixing_on_site_is_paid_by_blend_hands_and_mixer() -> None:
    ledger = Ledger(
        concrete=Concrete(batched=4.0, in_place=3.75, rejected=0.25),
        counts=Counts(print_days=2, day_hours=12.0, nozzle_hours=7.0),
    )
    for start in (30.0, 102.0):  # Tuesday and Friday: the mixer is there on four working days
        ledger.note(NOBODY, "A/print day", Kind.PRINTING, 0, (start, NOBODY, ()), start, start + 6.0)
    time = {(0, State.WORKING, None): 12.0, (0, State.WAITING, Cause.WEATHER): 4.0}
    assert lines(billed(replace(plan_of(replace(PRINTER, name="p")), supply=site_mix()), ledger, time)) == {
        ("concrete", "", "dry blend"): 975.0,
        ("waste", "concrete", "dry blend"): 65.0,
        ("work", "", "mixing hands"): 744.0,
        ("hire", "", "mixer"): 900.0,
        ("hire", "weather", "mixer"): 300.0,
        ("waste", "concrete", "disposal"): 15.0,
    }


def test_a_site_without_prices_costs_nothing() -> None:
    free = printing_plan(buildings=1)
    assert lines(billed(replace(free, supply=None, units=()), finish=100.0)) == {}
