"""A print day in the terminal: what happened by the minute, the delivery tickets, where time and concrete went."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from sitesim.answers.printed_day import Balance, ToldDay
from sitesim.plan import Plan
from sitesim.report.laid_out import plain_row, plain_table
from sitesim.report.print_day_words import DayTeller, Event, account_label, load_name
from sitesim.report.rounding import adding_up
from sitesim.report.words import CONCRETE, Style, hours_and_minutes

if TYPE_CHECKING:
    from rich.console import RenderableType

EVENT_HEADS = ("Time", "What happened", "Min", "Age at\nnozzle", "Since\nbelow")
TIME_HEADS = ("Load", "Batched", "Left plant", "Due", "At gate", "Discharge", "Empty", "Left site", "Age at end")
VOLUME_HEADS = ("Load", "Ordered", "Used", "Rejected", "Returned", "Standby", "What became of it")
BATCH_HEADS = ("Batch", "First water", "In the hopper", "Volume")
SINCE_BELOW = (
    "Since below: from the beginning of the layer below, or its preparation after an unplanned joint, to that of this "
    "one, at the same spot of the wall."
)


def print_day_parts(plan: Plan, told: ToldDay) -> Iterator[RenderableType]:
    """Lay a print day out, part after part."""
    from rich.text import Text

    style = Style.of_plan(plan)
    teller = DayTeller(plan, told)
    for line in teller.headings():
        yield Text(line)
    yield ""
    yield _events(teller)
    yield Text(SINCE_BELOW)
    if told.batches:
        yield ""
        yield _table(f"Mixed on site: {teller.batches()}", BATCH_HEADS, batch_rows(style, teller, told))
    elif told.tickets:
        yield ""
        yield _table("Delivery tickets: times", TIME_HEADS, ticket_times(teller, told))
        yield _table(
            f"Delivery tickets: {style.volume_unit}", VOLUME_HEADS, ticket_volumes(style, teller, told), words=(6,)
        )
    yield ""
    yield _table("Where the day went  (crew's start to wash-out)", ("", "h:mm", "Of the day"), account_rows(told))
    yield _table("Where the concrete went", ("", style.volume_unit), balance_rows(style, told.balance))
    if teller.tomorrow():
        yield Text(teller.tomorrow())


def _events(teller: DayTeller) -> RenderableType:
    table = plain_table("By the minute", *EVENT_HEADS, numbers=(0, 2, 3, 4))
    for event in teller.events():
        plain_row(table, *event_cells(teller, event))
    return table


def _table(
    title: str, heads: tuple[str, ...], rows: Iterator[tuple[str, ...]], words: tuple[int, ...] = ()
) -> RenderableType:
    numbers = tuple(place for place in range(1, len(heads)) if place not in words)
    table = plain_table(title, *heads, numbers=numbers)
    for row in rows:
        plain_row(table, *row)
    return table


def event_cells(teller: DayTeller, event: Event) -> tuple[str, ...]:
    """Write a line of the day: time, what happened, minutes, age at the nozzle, interval since the layer below."""
    return (
        teller.clock(event.instant),
        event.text,
        "" if event.minutes is None else f"{event.minutes:.0f}",
        "" if event.age is None else hours_and_minutes(event.age),
        "" if event.since_below is None else hours_and_minutes(event.since_below),
    )


def ticket_times(teller: DayTeller, told: ToldDay) -> Iterator[tuple[str, ...]]:
    """Write the times of each delivery ticket."""
    for ticket in told.tickets:
        instants = (
            ticket.batched,
            ticket.left_plant,
            ticket.due,
            ticket.arrived,
            ticket.discharge_begun,
            ticket.discharge_ended,
            ticket.left_site,
        )
        age = ticket.age_at_end
        yield (
            load_name(ticket.number),
            *("–" if instant is None else teller.clock(instant) for instant in instants),
            "–" if age is None else hours_and_minutes(age),
        )


def ticket_volumes(style: Style, teller: DayTeller, told: ToldDay) -> Iterator[tuple[str, ...]]:
    """Write the volumes of each delivery ticket, its paid standby, what became of it, and when it was rejected."""
    for ticket in told.tickets:
        volumes = (ticket.ordered, ticket.used, ticket.rejected, ticket.returned)
        yield (
            load_name(ticket.number),
            *(f"{style.in_volume_unit(volume):.2f}" for volume in volumes),
            hours_and_minutes(ticket.standby),
            teller.fate(ticket),
        )


def batch_rows(style: Style, teller: DayTeller, told: ToldDay) -> Iterator[tuple[str, ...]]:
    """Write when each batch was begun and in the hopper, and how much it was."""
    for number, batch in enumerate(told.batches, 1):
        times = (teller.clock(batch.begun), teller.clock(batch.in_hopper))
        yield str(number), *times, style.fine_volume(batch.volume)


def account_rows(told: ToldDay) -> Iterator[tuple[str, ...]]:
    """Write the account of the day, in minutes that add up to the length of the day."""
    minutes = adding_up([60.0 * hours for hours in told.account.values()])
    for (item, hours), whole in zip(told.account.items(), minutes, strict=True):
        yield account_label(item), hours_and_minutes(whole / 60.0), f"{100.0 * hours / told.length:.0f} %"
    yield "the whole day", hours_and_minutes(sum(minutes) / 60.0), ""


def balance_rows(style: Style, balance: Balance) -> Iterator[tuple[str, ...]]:
    """Write where the day's concrete went, in hundredths that add up to what was batched."""
    columns = [column for column in CONCRETE if getattr(balance, column)]
    hundredths = adding_up([100.0 * style.in_volume_unit(getattr(balance, column)) for column in columns])
    for column, whole in zip(columns, hundredths, strict=True):
        yield CONCRETE[column], f"{whole / 100.0:.2f}"
    yield "batched in all", f"{sum(hundredths) / 100.0:.2f}"
