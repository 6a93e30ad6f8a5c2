"""The ledger: rows while a run is played; afterwards the time account, the concrete balance and the driving chain."""

from sitesim.ledger.account import TimeKey, on_site, time_account, time_by_period, time_by_week
from sitesim.ledger.book import Concrete, Counts, Ledger
from sitesim.ledger.chain import Account, Segment
from sitesim.ledger.closing import HANDED_OVER, Rows, RunClosing
from sitesim.ledger.rows import (
    NOBODY,
    REFUSED,
    REPLACEMENT,
    Departure,
    Entry,
    Flow,
    Hold,
    Layer,
    Load,
    OrderedDay,
    Piece,
    PrintedDay,
    Rejection,
    Remark,
    Span,
)
from sitesim.ledger.tables import COLUMNS, KINDS, OF_STANDING_RUNS, SORTED_BY

__all__ = [
    "COLUMNS",
    "HANDED_OVER",
    "KINDS",
    "NOBODY",
    "OF_STANDING_RUNS",
    "REFUSED",
    "REPLACEMENT",
    "SORTED_BY",
    "Account",
    "Concrete",
    "Counts",
    "Departure",
    "Entry",
    "Flow",
    "Hold",
    "Layer",
    "Ledger",
    "Load",
    "OrderedDay",
    "Piece",
    "PrintedDay",
    "Rejection",
    "Remark",
    "Rows",
    "RunClosing",
    "Segment",
    "Span",
    "TimeKey",
    "on_site",
    "time_account",
    "time_by_period",
    "time_by_week",
]
