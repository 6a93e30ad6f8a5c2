"""The tables of a study: their columns, what each holds, and what makes a row unique."""

from __future__ import annotations

KINDS: dict[str, dict[str, type]] = {
    "runs": {
        "run": int,
        "finish_hours": float,
        "cost": float,
        "batched_m3": float,
        "in_place_m3": float,
        "joint_preparation_m3": float,
        "rejected_m3": float,
        "returned_m3": float,
        "priming_m3": float,
        "lost_to_blockages_m3": float,
        "washed_out_m3": float,
        "past_agreed_life_m3": float,
        "poured_m3": float,
        "unplanned_joints": int,
        "pour_breaks": int,
        "print_days": int,
        "days_called_off": int,
        "stops": int,
        "loads": int,
        "loads_called_off": int,
        "standby_hours": float,
        "nozzle_hours": float,
        "print_day_hours": float,
        "inspections": int,
        "failed_inspections": int,
        "lost_visits": int,
        "finished": bool,
        "unfinished_reason": str,
    },
    "milestones": {
        "run": int,
        "building": str,
        "home": str,
        "milestone": str,
        "hours": float,
    },
    "time": {
        "run": int,
        "resource": str,
        "state": str,
        "cause": str,
        "hours": float,
    },
    "held": {
        "run": int,
        "cause": str,
        "activity": str,
        "days": float,
        "off_shift_days": float,
    },
    "calls": {
        "run": int,
        "resource": str,
        "calls": int,
        "away_hours": float,
    },
    "costs": {
        "run": int,
        "item": str,
        "amount": float,
    },
    "cost_causes": {
        "run": int,
        "spent_on": str,
        "cause": str,
        "item": str,
        "amount": float,
    },
    "cost_days": {
        "run": int,
        "cause": str,
        "days": float,
        "amount": float,
    },
    "visits": {
        "run": int,
        "inspector": str,
        "visits": int,
        "failed": int,
        "lost": int,
        "moved": int,
        "waited_hours": float,
        "waited_for_lost_hours": float,
        "waited_for_moved_hours": float,
        "witnessed": int,
        "not_witnessed": int,
    },
    "loads": {
        "run": int,
        "building": str,
        "day": int,
        "load": int,
        "ordered_m3": float,
        "due": float,
        "batched": float,
        "left_plant": float,
        "arrived": float,
        "discharge_begun": float,
        "discharge_ended": float,
        "used_m3": float,
        "rejected_m3": float,
        "returned_m3": float,
        "standby_hours": float,
        "verdict": str,
    },
    "activities": {
        "run": int,
        "serial": int,
        "resource": str,
        "activity": str,
        "kind": str,
        "building": str,
        "home": str,
        "state": str,
        "cause": str,
        "start": float,
        "end": float,
        "held_by": str,
    },
    "weeks": {
        "run": int,
        "resource": str,
        "week": int,
        "state": str,
        "cause": str,
        "hours": float,
    },
}
"""The tables of a study and their columns, in order, each with what it holds. Volumes in m³, instants and lengths in
hours, days of 24 hours.

Amounts are in currency, each a whole number of cents: ``costs`` sums ``cost_causes`` by item, and ``cost_days`` by
cause, beside the working days of the site on which that cause held the date; no cause is what the work itself takes.
``calls`` counts how often a gang came that had to be called, and the hours between its stays on site.
``weeks`` is the time account cut by weeks from Monday to Sunday, numbered from 0, the week in which the site starts.
"""

COLUMNS: dict[str, tuple[str, ...]] = {table: tuple(kinds) for table, kinds in KINDS.items()}
"""The names of the columns of each table, in order."""

OF_STANDING_RUNS = ("activities", "weeks")
"""The tables that are kept only of the runs that stand for the reported confidences."""

SORTED_BY: dict[str, tuple[str, ...]] = {
    "runs": ("run",),
    "milestones": ("run", "building", "home", "milestone"),
    "time": ("run", "resource", "state", "cause"),
    "held": ("run", "cause", "activity"),
    "calls": ("run", "resource"),
    "costs": ("run", "item"),
    "cost_causes": ("run", "spent_on", "cause", "item"),
    "cost_days": ("run", "cause"),
    "visits": ("run", "inspector"),
    "loads": ("run", "day", "building", "load"),
    "activities": ("run", "serial", "resource", "start"),
    "weeks": ("run", "resource", "week", "state", "cause"),
}
"""The columns that make a row of each table unique, and its order in the digest."""
