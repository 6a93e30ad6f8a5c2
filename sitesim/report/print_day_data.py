"""A print day as plain data: instants as civil times, volumes in m³, lengths in hours, minutes where they say so."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from sitesim.answers.printed_day import Ticket, ToldDay
from sitesim.hours import civil_time
from sitesim.ledger import OrderedDay, Rejection
from sitesim.plan import Plan
from sitesim.report.print_day_words import DayTeller

Time = Callable[[float | None], str | None]
"""Writes an instant [h] of the run as a civil time."""

_TIMES_OF_TICKET = (
    "due",
    "batched",
    "left_plant",
    "arrived",
    "discharge_begun",
    "discharge_ended",
    "let_go",
    "left_site",
)


def day_as_data(plan: Plan, told: ToldDay) -> dict[str, Any]:
    """Give a print day as plain data."""
    printed = told.printed

    def time(instant: float | None) -> str | None:
        return None if instant is None else civil_time(plan.start, instant).isoformat()

    return {
        "day": told.day,
        "building": printed.building,
        "crew": [plan.units[unit].name for unit in told.gangs],
        "go": time(printed.go),
        "start": time(printed.start),
        "end": time(printed.end),
        "planned_layers": [printed.first, printed.target],
        "last_layer_in_place": printed.last,
        "ended_by": printed.ended_by,
        "order": _order(printed.order, time),
        "order_of_the_evening_before": _order(printed.placed, time),
        "order_for_next_day": _order(printed.tomorrow, time),
        "events": list(_events(DayTeller(plan, told), time)),
        "layers": [layer._asdict() | {"start": time(layer.start), "end": time(layer.end)} for layer in told.layers],
        "spans": list(_spans(told, time)),
        "age_at_nozzle": list(_ages(told, time)),
        "at_the_pump": [
            {"time": time(level.instant), "before_m3": level.before, "after_m3": level.after} for level in told.levels()
        ],
        "tickets": [_ticket(ticket, time) for ticket in told.tickets],
        "batches": [
            {"begun": time(batch.begun), "in_hopper": time(batch.in_hopper), "volume_m3": batch.volume}
            for batch in told.batches
        ],
        "batches_too_old": [{"begun": time(one.batched), **_rejection(one, time)} for one in told.batches_too_old],
        "account_hours": {str(item): hours for item, hours in told.account.items()},
        "length_hours": told.length,
        "balance": told.balance._asdict(),
    }


def _order(ordered: OrderedDay | None, time: Time) -> dict[str, Any] | None:
    if ordered is None:
        return None
    loads = [{"volume_m3": volume, "due": time(due)} for volume, due in ordered.loads]
    return {"for": time(ordered.morning), "need_m3": ordered.need, "loads": loads}


def _events(teller: DayTeller, time: Time) -> Iterator[dict[str, Any]]:
    for event in teller.events():
        yield {
            "time": time(event.instant),
            "text": event.text,
            "minutes": event.minutes,
            "age_hours": event.age,
            "since_below_hours": event.since_below,
            "held_up": event.held_up,
        }


def _spans(told: ToldDay, time: Time) -> Iterator[dict[str, Any]]:
    for span in told.printed.spans:
        yield {
            "start": time(span.start),
            "end": time(span.end),
            "hours": span.end - span.start,
            "state": span.state,
            "cause": span.cause,
            "doing": span.doing,
            "name": span.name,
        }


def _ages(told: ToldDay, time: Time) -> Iterator[dict[str, Any]]:
    for line in told.ages():
        yield {
            "start": time(line.start),
            "end": time(line.end),
            "age_hours": line.age,
            "age_at_end_hours": line.age_at_end,
            "working_life_hours": line.life,
        }


def _ticket(ticket: Ticket, time: Time) -> dict[str, Any]:
    """Give a ticket; what became of its load when it was thrown away comes last."""
    told = {name: value for name, value in ticket._asdict().items() if name != "rejection"}
    told |= {name: time(getattr(ticket, name)) for name in _TIMES_OF_TICKET}
    told |= {"age_at_end": ticket.age_at_end, "on_site": ticket.on_site}
    return told | {"rejection": None if ticket.rejection is None else _rejection(ticket.rejection, time)}


def _rejection(one: Rejection, time: Time) -> dict[str, Any]:
    ages = {"age_hours": one.age, "own_age_hours": one.own_age, "working_life_hours": one.life}
    return {"time": time(one.instant), "volume_m3": one.volume, **ages}
