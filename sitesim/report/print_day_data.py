"""A print day as plain data: instants as civil times, volumes in m³, lengths in hours, minutes where they say so."""

from __future__ import annotations

from typing import Any

from sitesim.answers.printed_day import ToldDay
from sitesim.hours import civil_time
from sitesim.ledger import OrderedDay, Rejection
from sitesim.plan import Plan
from sitesim.report.print_day_words import DayTeller


def day_as_data(plan: Plan, told: ToldDay) -> dict[str, Any]:
    """Give a print day as plain data."""
    printed = told.printed
    teller = DayTeller(plan, told)

    def time(instant: float | None) -> str | None:
        return None if instant is None else civil_time(plan.start, instant).isoformat()

    def order(ordered: OrderedDay | None) -> dict[str, Any] | None:
        if ordered is None:
            return None
        loads = [{"volume_m3": volume, "due": time(due)} for volume, due in ordered.loads]
        return {"for": time(ordered.morning), "need_m3": ordered.need, "loads": loads}

    def rejection(one: Rejection) -> dict[str, Any]:
        ages = {"age_hours": one.age, "own_age_hours": one.own_age, "working_life_hours": one.life}
        return {"time": time(one.instant), "volume_m3": one.volume, **ages}

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
        "order": order(printed.order),
        "order_of_the_evening_before": order(printed.placed),
        "order_for_next_day": order(printed.tomorrow),
        "events": [
            {
                "time": time(event.instant),
                "text": event.text,
                "minutes": event.minutes,
                "age_hours": event.age,
                "since_below_hours": event.since_below,
                "held_up": event.held_up,
            }
            for event in teller.events()
        ],
        "layers": [layer._asdict() | {"start": time(layer.start), "end": time(layer.end)} for layer in told.layers],
        "spans": [
            {
                "start": time(span.start),
                "end": time(span.end),
                "hours": span.end - span.start,
                "state": span.state,
                "cause": span.cause,
                "doing": span.doing,
                "name": span.name,
            }
            for span in printed.spans
        ],
        "age_at_nozzle": [
            {
                "start": time(line.start),
                "end": time(line.end),
                "age_hours": line.age,
                "age_at_end_hours": line.age_at_end,
                "working_life_hours": line.life,
            }
            for line in told.ages()
        ],
        "at_the_pump": [
            {"time": time(level.instant), "before_m3": level.before, "after_m3": level.after} for level in told.levels()
        ],
        "tickets": [
            {name: value for name, value in ticket._asdict().items() if name != "rejection"}
            | {
                name: time(getattr(ticket, name))
                for name in (
                    "due",
                    "batched",
                    "left_plant",
                    "arrived",
                    "discharge_begun",
                    "discharge_ended",
                    "let_go",
                    "left_site",
                )
            }
            | {"age_at_end": ticket.age_at_end, "on_site": ticket.on_site}
            | {"rejection": None if ticket.rejection is None else rejection(ticket.rejection)}
            for ticket in told.tickets
        ],
        "batches": [
            {"begun": time(batch.begun), "in_hopper": time(batch.in_hopper), "volume_m3": batch.volume}
            for batch in told.batches
        ],
        "batches_too_old": [{"begun": time(one.batched), **rejection(one)} for one in told.batches_too_old],
        "account_hours": {str(item): hours for item, hours in told.account.items()},
        "length_hours": told.length,
        "balance": told.balance._asdict(),
    }
