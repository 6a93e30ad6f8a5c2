"""One print day of a run in figures: layers, tickets, what is at the pump, where its time and its concrete went."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from sitesim.ledger import Departure, Flow, Layer, Ledger, Load, PrintedDay, Rejection, Span
from sitesim.plan import Cause, Doing, Kind, Plan, SiteMix, UnitKind

_ON_THE_BEAD = (Doing.LAYING, Doing.UNPLANNED_JOINT)

ACCOUNT_ORDER: tuple[Doing | Cause, ...] = (
    Doing.LAYING,
    Doing.TENT_SIDES,
    Doing.ALIGNING,
    Doing.PLANNED_JOINT,
    Doing.TESTING,
    Doing.PRIMING,
    Cause.CONCRETE,
    Cause.MATERIAL,
    Cause.SETTING,
    Cause.WEATHER,
    Doing.STOPPED,
    Doing.KEEPING_WET,
    Doing.PLANNED_STOP,
    Doing.UNPLANNED_JOINT,
    Doing.MEAL,
    Doing.WASHING_OUT,
)
"""The items of a print day's time, in the order in which they are told: what was done, and what was waited for."""


CALLED_OFF_IN_THE_MORNING = "called off in the morning"
"""The verdict on a load that the day turned out not to need."""


class ToldLayer(NamedTuple):
    """A layer: instants [h], its concrete's ``age`` at its end [h], and what it lies on.

    ``since_below`` [h] is the time from the beginning of the layer below, or from its preparation where an unplanned
    joint lies in it, to that of this one or the preparation for it; None where the layer below is of another day.
    """

    layer: int
    start: float
    end: float
    age: float
    since_below: float | None
    unplanned_joint: bool


class Ticket(NamedTuple):
    """A delivery ticket: instants [h], volumes [m³]; None for what did not happen.

    ``number`` is None for a load that was ordered but never batched; ``let_go`` is when its truck was done at the gate
    and ``left_site`` when it had washed out and gone, ``age_at_end`` [h] the age of its concrete when the truck was
    empty, ``standby`` [h] what is paid of its stay; ``rejection``, when and at which age some of it was thrown away.
    """

    number: int | None
    ordered: float
    due: float
    batched: float | None
    left_plant: float | None
    arrived: float | None
    discharge_begun: float | None
    discharge_ended: float | None
    let_go: float | None
    left_site: float | None
    used: float
    rejected: float
    returned: float
    standby: float
    verdict: str
    rejection: Rejection | None = None

    @property
    def age_at_end(self) -> float | None:
        """The age [h] of the concrete when the truck was empty."""
        if self.discharge_ended is None or self.batched is None:
            return None
        return self.discharge_ended - self.batched

    @property
    def on_site(self) -> float | None:
        """How long [h] the truck was on site."""
        return None if self.left_site is None or self.arrived is None else self.left_site - self.arrived


class Batch(NamedTuple):
    """A batch mixed on site: first water and in the hopper [h], volume [m³]."""

    begun: float
    in_hopper: float
    volume: float


class Level(NamedTuple):
    """What was at the pump at an instant [h], just before and just after it [m³]."""

    instant: float
    before: float
    after: float


class AgeLine(NamedTuple):
    """The age of the concrete at the nozzle while one lot was drawn from ``start`` to ``end`` [h].

    ``age`` [h] at the start; ``life`` [h], the age from which this lot is of no use.
    """

    start: float
    end: float
    age: float
    life: float

    @property
    def age_at_end(self) -> float:
        """The age [h] at the end."""
        return self.age + self.end - self.start


class Balance(NamedTuple):
    """Where the concrete of a print day went [m³]; what it was batched equals the sum of all else with ``==``."""

    batched_m3: float
    in_place_m3: float
    joint_preparation_m3: float
    priming_m3: float
    lost_to_blockages_m3: float
    washed_out_m3: float
    rejected_m3: float
    returned_m3: float


@dataclass(frozen=True, slots=True)
class ToldDay:
    """A print day of one building.

    Parameters: ``day``, the day of the run from 1; ``printed``, what was written down of it; ``account`` [h] by what
    was done or waited for, in the order in which it is told; ``gangs``, the unit indices of those who printed;
    ``batches_too_old``, those mixed on site of which some was thrown away.
    """

    day: int
    printed: PrintedDay
    layers: tuple[ToldLayer, ...]
    tickets: tuple[Ticket, ...]
    batches: tuple[Batch, ...]
    account: dict[Doing | Cause, float]
    balance: Balance
    gangs: tuple[int, ...]
    batches_too_old: tuple[Rejection, ...] = ()

    @property
    def length(self) -> float:
        """The length of the day [h], from the crew's start to the end of wash-out."""
        return self.printed.end - self.printed.start

    @property
    def batches_lost(self) -> int:
        """How many batches mixed on site never reached the hopper: failed their test, or too late."""
        return sum(ticket.number or 0 for ticket in self.tickets) - len(self.batches) if self.batches else 0

    @property
    def has_begun_another(self) -> bool:
        """Tell whether concrete was laid of a layer that was not finished."""
        done = max((layer.end for layer in self.layers), default=self.printed.start)
        return any(span.doing is Doing.LAYING and span.end > done for span in self.printed.spans)

    def layer_at(self, instant: float) -> int | None:
        """Name the layer that was under way at an instant [h], if one was."""
        return next((one.layer for one in self.layers if one.start <= instant < one.end), None)

    def levels(self) -> list[Level]:
        """Give what was at the pump, straight from one instant to the next but for the jumps."""
        flows = self.printed.flows
        instants = sorted({instant for flow in flows for instant in (flow.start, flow.end)})
        return [
            Level(instant, *(_content(flows, instant, with_jumps) for with_jumps in (False, True)))
            for instant in instants
        ]

    def ages(self) -> list[AgeLine]:
        """Give the age at the nozzle for each stretch in which one lot was drawn."""
        return [
            AgeLine(flow.start, flow.end, flow.start - flow.born, flow.expires - flow.born)
            for flow in self.printed.flows
            if flow.end > flow.start
        ]


def print_days_of(ledger: Ledger) -> list[tuple[int, str]]:
    """Give the print days of a run that was played with its diary kept: day of the run from 1, and building."""
    return sorted((_day_of(printed), printed.building) for printed in ledger.printed or ())


def told_days(plan: Plan, ledger: Ledger, day: int, building: str = "") -> list[ToldDay]:
    """Tell the print days of one day of a run that was played with its diary kept.

    Parameters: ``day`` of the run from 1; ``building``, only this one.
    """
    return [
        _told(plan, ledger, printed)
        for printed in ledger.printed or ()
        if _day_of(printed) == day and building in ("", printed.building)
    ]


def _day_of(printed: PrintedDay) -> int:
    return int(printed.order.morning // 24) + 1


def _told(plan: Plan, ledger: Ledger, printed: PrintedDay) -> ToldDay:
    day = _day_of(printed)
    loads = [load for load in ledger.loads if load.building == printed.building and load.day == day - 1]
    rejections = [one for one in ledger.rejections or () if one.building == printed.building and one.day == day - 1]
    on_site = isinstance(plan.supply, SiteMix)
    return ToldDay(
        day,
        printed,
        tuple(_layers(ledger.layers or (), printed)),
        tuple(_tickets(loads, ledger.departures or (), rejections, printed)),
        tuple(_batches(printed.flows)) if on_site else (),
        _account(printed.spans),
        _balance(loads, printed),
        tuple(dict.fromkeys(_gangs(plan, ledger, printed))),
        tuple(rejections) if on_site else (),
    )


def _gangs(plan: Plan, ledger: Ledger, printed: PrintedDay) -> Iterator[int]:
    for entry in ledger.entries:
        if entry.key == printed.key and entry.kind is Kind.PRINTING:
            yield from (unit for unit in entry.units if plan.units[unit].kind is UnitKind.GANG)


def _layers(layers: Sequence[Layer], printed: PrintedDay) -> Iterator[ToldLayer]:
    below_began: float | None = None
    for one in layers:
        if one.building != printed.building or not printed.start <= one.start < printed.end:
            continue
        began = _bead_began(printed.spans, one)
        since = None if below_began is None else began - below_began
        yield ToldLayer(one.layer, one.start, one.end, one.age, since, one.unplanned_joint)
        below_began = _counts_from(printed.spans, one, began)


def _bead_began(spans: Sequence[Span], layer: Layer) -> float:
    """Give the instant [h] at which the first concrete of a layer was laid, or the joint for it prepared."""
    on_it = (span for span in spans if span.doing in _ON_THE_BEAD and span.start < layer.end and span.end > layer.start)
    return max(layer.start, next((span.start for span in on_it), layer.start))


def _counts_from(spans: Sequence[Span], layer: Layer, began: float) -> float:
    """Give the instant [h] from which a layer's rest counts: what was laid before a joint in it is prepared with it."""
    laid = 0.0
    for span in spans:
        if span.doing is Doing.LAYING:
            laid += max(0.0, min(span.end, layer.end) - max(span.start, layer.start))
        elif span.doing is Doing.UNPLANNED_JOINT and layer.start <= span.start < layer.end:
            began = span.end - laid
    return began


def _tickets(
    loads: Sequence[Load], departures: Sequence[Departure], rejections: Sequence[Rejection], printed: PrintedDay
) -> Iterator[Ticket]:
    """Give a ticket for each load, by number, and one for each that was ordered and never batched."""
    left = {(one.building, one.day, one.number): (one.let_go, one.instant) for one in departures}
    rejected = {one.number: one for one in rejections}
    for load in sorted(loads, key=lambda load: (load.due, load.number)):
        let_go, left_site = left.get((load.building, load.day, load.number), (None, None))
        yield Ticket(
            load.number,
            load.ordered,
            load.due,
            load.batched,
            load.left_plant,
            load.arrived,
            _happened(load.discharge_begun),
            _happened(load.discharge_ended),
            let_go,
            left_site,
            load.used,
            load.rejected,
            load.returned,
            load.standby,
            load.verdict,
            rejected.get(load.number),
        )
    came = {(load.ordered, load.due) for load in loads}
    for volume, due in printed.order.loads:
        if (volume, due) not in came:
            yield _not_batched(volume, due, "not batched")
    if printed.placed is not None:
        for volume, due in printed.placed.loads[len(printed.order.loads) :]:
            yield _not_batched(volume, due, CALLED_OFF_IN_THE_MORNING)


def _not_batched(volume: float, due: float, verdict: str) -> Ticket:
    return Ticket(None, volume, due, None, None, None, None, None, None, None, 0.0, 0.0, 0.0, 0.0, verdict)


def _happened(instant: float) -> float | None:
    return instant if math.isfinite(instant) else None


def _batches(flows: Sequence[Flow]) -> Iterator[Batch]:
    for flow in flows:
        if flow.volume > 0.0:
            yield Batch(flow.born, flow.end, flow.volume)


def _account(spans: Sequence[Span]) -> dict[Doing | Cause, float]:
    """Add up the spans by what was done, or by what was waited for."""
    sums: dict[Doing | Cause, float] = {}
    for span in spans:
        item = span.doing if span.doing is not None else span.cause
        assert item is not None
        sums[item] = sums.get(item, 0.0) + span.end - span.start
    return {item: sums[item] for item in ACCOUNT_ORDER if item in sums}


def _balance(loads: Sequence[Load], printed: PrintedDay) -> Balance:
    """Balance the day's loads with what was done with them; a batch that never reached the pump was washed out, too."""
    pumped = (
        printed.in_place + printed.joint_preparation + printed.priming + printed.lost_to_blockages + printed.washed_out
    )
    never_pumped = sum(load.used for load in loads) - pumped
    return Balance(
        sum(load.ordered for load in loads),
        printed.in_place,
        printed.joint_preparation,
        printed.priming,
        printed.lost_to_blockages,
        printed.washed_out + never_pumped,
        sum(load.rejected for load in loads),
        sum(load.returned for load in loads),
    )


def _content(flows: Sequence[Flow], instant: float, with_jumps: bool) -> float:
    """Add up what has come to the pump and left it until an instant [h], with the jumps of that very instant or not."""
    content = 0.0
    for flow in flows:
        if flow.end < instant or (flow.end == instant and (with_jumps or flow.end > flow.start)):
            content += flow.volume
        elif flow.start < instant:
            content += flow.volume * (instant - flow.start) / (flow.end - flow.start)
    return content
