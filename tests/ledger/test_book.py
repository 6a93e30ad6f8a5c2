"""The ledger's own pages."""

from __future__ import annotations

from dataclasses import fields

from sitesim.ledger import NOBODY, Concrete, Ledger
from sitesim.plan import Kind


def test_entries_are_numbered_as_they_are_written() -> None:
    ledger = Ledger()
    for serial in range(3):
        entry = ledger.note(7, f"step {serial}", Kind.WORK, 0, (1.0, NOBODY, ()), 1.0, 2.0)
        assert entry.serial == serial
        assert ledger.entries[serial] is entry
        assert (entry.ready, entry.ready_by, entry.start, entry.end) == (1.0, NOBODY, 1.0, 2.0)


def test_the_balance_counts_every_destination_once() -> None:
    destinations = [field.name for field in fields(Concrete) if field.name not in ("batched", "past_agreed_life")]
    concrete = Concrete(**{name: 2.0**place for place, name in enumerate(destinations)})
    assert concrete.accounted == 2.0 ** len(destinations) - 1.0


def test_a_diary_is_kept_only_where_one_is_wanted() -> None:
    ledger = Ledger()
    ledger.remark(1.0, "A", "washed out")
    assert ledger.diary is None
    ledger.diary = []
    ledger.remark(1.0, "A", "{} loads, {:.1f} h", 3, 1.25)
    assert [tuple(remark) for remark in ledger.diary] == [(1.0, "A", "3 loads, 1.2 h")]
