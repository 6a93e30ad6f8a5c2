"""The page of a print day: its chart, the day by the minute, the delivery tickets, where time and concrete went."""

from __future__ import annotations

from collections.abc import Iterator

from sitesim.answers.printed_day import ToldDay, told_days
from sitesim.plan import Doing, Plan
from sitesim.report.document import Section, document
from sitesim.report.figures import chart
from sitesim.report.markup import Html, bullets, element, in_full, joined, paragraph, table
from sitesim.report.print_day_chart import DayChart
from sitesim.report.print_day_terminal import (
    BATCH_HEADS,
    EVENT_HEADS,
    SINCE_BELOW,
    TIME_HEADS,
    VOLUME_HEADS,
    account_rows,
    balance_rows,
    batch_rows,
    event_cells,
    ticket_times,
    ticket_volumes,
)
from sitesim.report.print_day_words import DayTeller
from sitesim.report.told import day_heading
from sitesim.report.words import Style, hours_and_minutes, several
from sitesim.study.replaying import Replayed


def build_print_day_page(replayed: Replayed, day: int, building: str = "") -> str:
    """Build the page of a print day; empty if nothing was printed.

    Parameters: ``day`` of the run from 1; ``building``, only this one.
    """
    plan, played = replayed.plan, replayed.played
    told = told_days(plan, played.ledger, day, building)
    if not told:
        return ""
    heading = day_heading(plan, played, day)
    name = f"{plan.name}, run {played.run}"
    head = [
        element("h1", name),
        paragraph(heading, class_="facts"),
        *(paragraph(_answer(plan, one), class_="answer") for one in told),
    ]
    sections = [section for one in told for section in _sections(plan, one)]
    if replayed.cautions:
        sections.append(("cautions", "Cautions", bullets(replayed.cautions)))
    said = "One run of many, played again: this day could come out so, with other luck it will not."
    foot = element("footer", paragraph(said))
    return document(f"{name}, day {day}", head, sections, foot)


def _answer(plan: Plan, told: ToldDay) -> str:
    """Say in a sentence how the day went."""
    laying = told.account.get(Doing.LAYING, 0.0)
    joints = sum(span.doing is Doing.UNPLANNED_JOINT for span in told.printed.spans)
    return (
        f"{told.printed.building}: {DayTeller(plan, told).in_place()}. The nozzle lays concrete for "
        f"{hours_and_minutes(laying)} of {hours_and_minutes(told.length)} h, with "
        f"{several(joints, 'unplanned joint') if joints else 'no unplanned joint'}."
    )


def _sections(plan: Plan, told: ToldDay) -> Iterator[Section]:
    """Give the sections of one building in turn."""
    style = Style.of_plan(plan)
    teller = DayTeller(plan, told)
    name = told.printed.building
    anchor = "".join(letter if letter.isalnum() else "-" for letter in name)
    yield f"day-{anchor}", f"How did the day of {name} go?", _how_it_went(plan, told, teller)
    if told.batches:
        title = f"Batches mixed on site, {name}"
        rows = list(batch_rows(style, teller, told))
        yield f"batches-{anchor}", title, _table(teller.batches(), BATCH_HEADS, rows)
    elif told.tickets:
        yield f"tickets-{anchor}", f"Delivery tickets of {name}", _tickets(style, teller, told)
    yield f"account-{anchor}", f"Where did the day of {name} go, and its concrete?", _accounts(style, teller, told)


def _how_it_went(plan: Plan, told: ToldDay, teller: DayTeller) -> Html:
    events = [event_cells(teller, event) for event in teller.events()]
    label = f"Printer, age at the nozzle, concrete at the pump and deliveries of {told.printed.building}"
    return joined(
        [
            bullets(teller.headings()),
            chart(DayChart(plan, told).figure(), label, _CAPTION, has_legend=True, needs_room=True),
            in_full(
                "The same by the minute",
                joined([paragraph(SINCE_BELOW, class_="facts"), _events(events)]),
            ),
        ]
    )


_FEW_COLUMNS = 3
"""What has more stands folded on a phone."""

_CAPTION = (
    "All rows share one axis of time. Point at a bar or a line to read it; choose a word above to hide or show it. The "
    "age is that of the concrete which leaves the nozzle, told from its first water; there is no line while the nozzle "
    "stands. Where it meets the dashed line that concrete is thrown away."
)


def _events(rows: list[tuple[str, ...]]) -> Html:
    return table("By the minute", EVENT_HEADS, rows, numbers=(2, 3, 4), class_="minutes")


def _tickets(style: Style, teller: DayTeller, told: ToldDay) -> Html:
    return joined(
        [
            _table("Times", TIME_HEADS, list(ticket_times(teller, told))),
            _table(
                f"Concrete, {style.volume_unit}",
                VOLUME_HEADS,
                list(ticket_volumes(style, teller, told)),
                (1, 2, 3, 4, 5),
            ),
        ]
    )


def _table(caption: str, heads: tuple[str, ...], rows: list[tuple[str, ...]], numbers: tuple[int, ...] = ()) -> Html:
    folds = "folds" if len(heads) > _FEW_COLUMNS else ""
    return table(caption, heads, rows, numbers=numbers or tuple(range(1, len(heads))), class_=folds)


def _accounts(style: Style, teller: DayTeller, told: ToldDay) -> Html:
    tomorrow = teller.tomorrow()
    return joined(
        [
            _table("From the crew's start to wash-out", ("Time", "h:mm", "Of the day"), list(account_rows(told))),
            _table("Balance of the day", ("Concrete", style.volume_unit), list(balance_rows(style, told.balance))),
            paragraph(element("strong", tomorrow)) if tomorrow else Html(""),
        ]
    )
