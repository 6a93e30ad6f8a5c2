"""Figures from real sites with wide tolerance: the demo has to be believable, not equal to them."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitesim.ledger import Ledger
from sitesim.plan import Kind, Plan
from sitesim.scenario import load
from sitesim.site import Stage, play

DEMO = Path(__file__).parents[2] / "scenarios" / "tern-quay.yaml"
RUNS = 24


@pytest.fixture(scope="module")
def demo() -> Plan:
    return load(DEMO).plan()


@pytest.fixture(scope="module")
def ledgers(demo: Plan) -> list[Ledger]:
    stage = Stage(demo)
    return [play(stage, 7, run).ledger for run in range(RUNS)]


def test_the_nozzle_lays_concrete_about_half_of_a_print_day(ledgers: list[Ledger]) -> None:
    """Diggs-McGee, Kreiger, Kreiger, Case 2019, Additive Manufacturing 28:205: 14 h of print time in 31.2 h elapsed.

    That is 45 % for one reinforced building; 35 to 65 % is taken as plausible.
    """
    nozzle = sum(ledger.counts.nozzle_hours for ledger in ledgers)
    elapsed = sum(ledger.counts.day_hours for ledger in ledgers)
    assert 0.35 <= nozzle / elapsed <= 0.65


def test_a_print_day_uses_about_a_truckload(demo: Plan, ledgers: list[Ledger]) -> None:
    """Press reports of an Irish terrace, 2024 to 2025: 7.5 m³ a print day, about one truckload; half to twice is taken.

    The demo's rows are a third of that terrace's floor, printed with two thin beads, so the lower half is expected.
    """
    batched = sum(ledger.concrete.batched for ledger in ledgers)
    days = sum(ledger.counts.print_days for ledger in ledgers)
    assert 3.0 <= batched / days <= 15.0


def test_printing_is_a_small_share_of_the_programme(ledgers: list[Ledger]) -> None:
    """Press reports of the same terrace: 14 % of the working days were printing; less than a third is taken."""
    print_days = sum(ledger.counts.print_days for ledger in ledgers) / RUNS
    calendar_days = sum(max(ledger.ended.values()) for ledger in ledgers) / RUNS / 24.0
    assert 0.05 <= print_days / (calendar_days * 5.0 / 7.0) <= 1.0 / 3.0


def test_the_first_set_up_of_the_gantry_takes_days_and_later_ones_less(ledgers: list[Ledger]) -> None:
    """Common practice, no source: one to three working days for a gantry of this class, the first the slowest."""
    first, last = [], []
    for ledger in ledgers:
        ups = {entry.key: entry for entry in ledger.entries if entry.kind is Kind.GANTRY and entry.key.endswith("_up")}
        for key, hours in (("A/gantry_up", first), ("E/gantry_up", last)):
            entry = ups[key]
            assert entry.hours is not None
            hours.append(entry.hours.worked(entry.start, entry.end))
    assert 8.0 <= sum(first) / RUNS <= 3 * 8.0
    assert sum(last) < sum(first)
