"""A print day in the words of the trade: what happened, in order, with its minutes and the age of the concrete."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import timedelta
from enum import IntEnum

from sitesim.answers.printed_day import CALLED_OFF_IN_THE_MORNING, Batch, Ticket, ToldDay
from sitesim.hours import civil_time
from sitesim.ledger import REFUSED, REPLACEMENT, OrderedDay, Rejection, Span
from sitesim.plan import Cause, Doing, Plan, ReadyMix, State
from sitesim.report.words import WAITED_FOR, Style, hours_and_minutes, name_label, several, together

_A_MINUTE = 1.0 / 60.0
_WORTH_A_LINE = 0.5 * _A_MINUTE
_ON_ITS_TEST = "refused on its test"
A_BATCH_THROWN_AWAY = "a batch thrown away"
"""What becomes of a batch mixed on site that has grown too old."""

DONE: Mapping[Doing, str] = {
    Doing.LAYING: "nozzle lays concrete",
    Doing.TENT_SIDES: "tent sides put up or let down",
    Doing.ALIGNING: "aligning",
    Doing.PLANNED_JOINT: "planned joint on the last top",
    Doing.TESTING: "slump and air test",
    Doing.PRIMING: "priming the pump",
    Doing.KEEPING_WET: "keeping fresh layers wet",
    Doing.PLANNED_STOP: "joint steel and other planned stops",
    Doing.UNPLANNED_JOINT: "unplanned joints",
    Doing.STOPPED: "stops of printer and pump",
    Doing.MEAL: "meal",
    Doing.WASHING_OUT: "wash-out",
}
"""What crew and printer did, as the account of the day names it."""


class Turn(IntEnum):
    """The order of what happens in one instant: an end comes before what begins thereupon."""

    ENDED, HAPPENED, BEGUN = range(3)


@dataclass(frozen=True, slots=True)
class Event:
    """A line of the day.

    Parameters: ``instant`` [h]; ``minutes`` that it took; ``age`` [h] of the concrete at the nozzle; ``since_below``
    [h], since the layer below was begun; ``held_up``, whether it kept the nozzle from laying unplanned.
    """

    instant: float
    turn: Turn
    text: str
    minutes: float | None = None
    age: float | None = None
    since_below: float | None = None
    held_up: bool = False


class DayTeller:
    """Tells one print day of a plan."""

    def __init__(self, plan: Plan, told: ToldDay) -> None:
        self._plan = plan
        self._told = told
        self._style = Style.of_plan(plan)

    def events(self) -> list[Event]:
        """Give what happened, in order."""
        told = [*self._crew(), *self._layers(), *self._spans(), *self._deliveries(), *self._mixing()]
        return sorted(told, key=lambda event: (event.instant, event.turn))

    def headings(self) -> list[str]:
        """Say what was planned: layers, concrete, loads, crew."""
        printed = self._told.printed
        ordered = self.order(printed.order)
        if printed.placed is not None:
            placed = f"{self._style.fine_volume(printed.placed.need)}: {self._loads(printed.placed)}"
            is_changed = printed.placed.loads != printed.order.loads
            changed = f" With the go: {self._loads(printed.order)}." if is_changed else ""
            ordered = f"Ordered the day before, for {placed}.{changed}"
        return [
            f"{printed.building}, {span_of_layers(printed.first, printed.target)} planned; {self._crew_name()}",
            f"Needed with priming, hose and specimens: {self._style.fine_volume(printed.order.need)}. {ordered}",
        ]

    def batches(self) -> str:
        """Head the batches mixed on site, with those that were lost."""
        lost = self._told.batches_lost
        head = f"{several(len(self._told.batches), 'batch', 'batches')} in the hopper"
        return f"{head}; {lost} more failed the test or came too late" if lost else head

    def in_place(self) -> str:
        """Say what was laid and why the day ended."""
        printed = self._told.printed
        if printed.last < printed.first:
            laid = "no layer finished"
        else:
            laid = f"{span_of_layers(printed.first, printed.last)} in place"
        if self._told.has_begun_another:
            laid += f" and part of layer {printed.last + 1}"
        return f"{laid}; the day ended with {printed.ended_by}"

    def tomorrow(self) -> str:
        """Say what was ordered for the next print day when the nozzle had been shut; empty if nothing was."""
        ordered = self._told.printed.tomorrow
        if ordered is None:
            return ""
        day = self._plan.start + timedelta(days=int(ordered.morning // 24))
        return (
            f"Next print day {day:%A}, {self._style.short_date(day)}: {self._style.fine_volume(ordered.need)} needed. "
            f"{self.order(ordered)}"
        )

    def order(self, ordered: OrderedDay) -> str:
        """Say which loads were ordered, and for when."""
        if not ordered.loads:
            return "Mixed on site as the printer needs it."
        return f"Ordered: {self._loads(ordered)}."

    def _loads(self, ordered: OrderedDay) -> str:
        if not ordered.loads:
            return "no load"
        return together(f"{self._style.fine_volume(volume)} at {self.clock(due)}" for volume, due in ordered.loads)

    def fate(self, ticket: Ticket) -> str:
        """Say what became of a load, and when and at which age some of it was rejected."""
        lost = ticket.rejection
        when = f", {self.clock(lost.instant)} at age {hours_and_minutes(lost.age)}" if lost is not None else ""
        return f"{ticket.verdict}{when}"

    def clock(self, instant: float) -> str:
        """Write the time of day of an instant [h]."""
        return f"{civil_time(self._plan.start, instant):%H:%M}"

    def waited(self, span: Span) -> str:
        """Say what a wait was for; for concrete, which load, when it was due and when it came."""
        assert span.cause is not None
        text = f"waiting for {WAITED_FOR[span.cause]}"
        if span.cause is not Cause.CONCRETE:
            return text
        for ticket in self._told.tickets:
            if span.end in (ticket.discharge_begun, ticket.discharge_ended) and ticket.arrived is not None:
                name = load_name(ticket.number)
                at_gate = f"at the gate {self.clock(ticket.arrived)}"
                if ticket.arrived <= span.start:
                    return f"{text}: {name} in its tests, {at_gate}"
                return f"{text}: {name}, due {self.clock(ticket.due)}, {at_gate}"
        return text

    def stretch(self, span: Span) -> str:
        """Say what a stretch other than laying was spent on."""
        layers_done = self._told.printed.first - 1
        top = f"layer {layers_done}" if layers_done else "the slab"
        if span.doing is None:
            return self.waited(span)
        if span.doing in (Doing.STOPPED, Doing.PLANNED_STOP):
            return span.name
        if span.doing is Doing.TENT_SIDES:
            return f"the tent's sides are {span.name}"
        if span.doing is Doing.UNPLANNED_JOINT:
            return f"unplanned joint: {self._bead_below(span)} prepared"
        return {
            Doing.ALIGNING: f"crew aligns the printer on {top}",
            Doing.PLANNED_JOINT: f"planned joint on {top} prepared",
            Doing.TESTING: "slump and air tested",
            Doing.PRIMING: "pump and hose primed",
            Doing.KEEPING_WET: "the layer is kept wet",
            Doing.MEAL: "meal, the nozzle stands",
            Doing.WASHING_OUT: "pump and hose washed out",
        }[span.doing]

    def _bead_below(self, span: Span) -> str:
        layer = self._told.layer_at(span.start) or self._told.printed.last + 1
        return f"layer {layer - 1}"

    def _crew_name(self) -> str:
        gangs = [self._plan.units[unit] for unit in self._told.gangs]
        return together(f"{name_label(gang.name)} crew of {gang.size}" for gang in gangs)

    def _crew(self) -> Iterator[Event]:
        printed = self._told.printed
        if printed.go < printed.start:
            yield Event(printed.go, Turn.HAPPENED, "go: the forecast leaves enough hours")
        if printed.placed is not None and printed.placed.loads != printed.order.loads:
            yield Event(printed.go, Turn.HAPPENED, f"the plant is told what comes: {self._loads(printed.order)}")
        shut = next((span.start for span in printed.spans if span.doing is Doing.WASHING_OUT), printed.end)
        yield Event(shut, Turn.HAPPENED, f"nozzle shut: {self.in_place()}")
        if printed.tomorrow is not None:
            yield Event(shut, Turn.HAPPENED, self.tomorrow())
        yield Event(printed.end, Turn.ENDED, "washed out, end of the day")

    def _layers(self) -> Iterator[Event]:
        for one in self._told.layers:
            joint = ", on an unplanned joint" if one.unplanned_joint else ""
            slow = ", the day's first, at lower speed" if one is self._told.layers[0] else ""
            yield Event(
                one.end,
                Turn.ENDED,
                f"layer {one.layer} done{slow}{joint}",
                (one.end - one.start) * 60.0,
                one.age,
                one.since_below,
            )

    def _spans(self) -> Iterator[Event]:
        for span in self._told.printed.spans:
            if span.doing is Doing.LAYING or span.end - span.start < _WORTH_A_LINE:
                continue
            held_up = span.state is not State.WORKING or span.doing is Doing.UNPLANNED_JOINT
            inside = self._told.layer_at(span.start) if held_up else None
            where = f" (in layer {inside})" if inside is not None else ""
            minutes = (span.end - span.start) * 60.0
            yield Event(span.start, Turn.BEGUN, f"{self.stretch(span)}{where}", minutes, held_up=held_up)

    def _deliveries(self) -> Iterator[Event]:
        if not isinstance(self._plan.supply, ReadyMix):
            return
        for ticket in self._told.tickets:
            yield from self._delivery(ticket, self._plan.supply.gate)

    def _delivery(self, ticket: Ticket, tests: float) -> Iterator[Event]:
        name = f"{load_name(ticket.number)}, {self._style.fine_volume(ticket.ordered)}"
        if ticket.verdict == CALLED_OFF_IN_THE_MORNING:
            yield Event(self._told.printed.go, Turn.HAPPENED, f"{name}, due {self.clock(ticket.due)}: {ticket.verdict}")
            return
        if ticket.batched is None or ticket.left_plant is None or ticket.arrived is None:
            yield Event(ticket.due, Turn.HAPPENED, f"{name}, due now: not batched, called off or the plant shut")
            return
        short = load_name(ticket.number)
        yield Event(ticket.batched, Turn.HAPPENED, f"{name}: batched at the plant")
        yield Event(ticket.left_plant, Turn.HAPPENED, f"{short} leaves the plant")
        yield Event(ticket.arrived, Turn.HAPPENED, f"{short} at the gate, {punctuality(ticket)}")
        tested = ticket.arrived + tests
        if ticket.discharge_begun is None:
            let_go = tested if ticket.let_go is None else ticket.let_go
            if let_go > tested:
                yield Event(tested, Turn.HAPPENED, f"{short} has passed its tests, waits its turn")
            sent_back = f"{short} sent back unused: {self._style.fine_volume(ticket.returned)} returned"
            stays = self._stay(ticket)
            yield Event(let_go, Turn.HAPPENED, f"{self._thrown_away(ticket, short) or sent_back}{stays}")
            return
        begins = f"begins to discharge at age {hours_and_minutes(ticket.discharge_begun - ticket.batched)}"
        if ticket.discharge_begun <= tested:
            yield Event(tested, Turn.HAPPENED, f"{short} has passed its tests, {begins}")
        else:
            yield Event(tested, Turn.HAPPENED, f"{short} has passed its tests, waits its turn")
            yield Event(ticket.discharge_begun, Turn.HAPPENED, f"{short} {begins}")
        if ticket.rejection is not None:
            yield Event(ticket.rejection.instant, Turn.ENDED, self._thrown_away(ticket, short))
        if ticket.discharge_ended is not None:
            yield Event(ticket.discharge_ended, Turn.HAPPENED, self._emptied(ticket, short))

    def _emptied(self, ticket: Ticket, name: str) -> str:
        age = f" at age {hours_and_minutes(ticket.age_at_end)}" if ticket.age_at_end is not None else ""
        what = f"{name} empty{age}"
        if ticket.returned:
            what = f"{name} goes back with {self._style.fine_volume(ticket.returned)}"
        return f"{what}{self._stay(ticket)}"

    def _stay(self, ticket: Ticket) -> str:
        stay = f", {ticket.on_site * 60:.0f} min on site" if ticket.on_site is not None else ""
        standby = f", {ticket.standby * 60:.0f} of them paid standby" if ticket.standby >= _WORTH_A_LINE else ""
        return f"{stay}{standby}"

    def _thrown_away(self, ticket: Ticket, name: str) -> str:
        """Say what was thrown away of a load, and at which age; empty if nothing was."""
        if ticket.rejection is None:
            return ""
        has_begun = ticket.discharge_begun is not None
        what = what_became_of(name, ticket.rejection, ticket.ordered, has_begun, ticket.verdict)
        return thrown_away(self._style, ticket.rejection, what, hours_and_minutes)

    def _mixing(self) -> Iterator[Event]:
        for lost in self._told.batches_too_old:
            text = thrown_away(self._style, lost, A_BATCH_THROWN_AWAY, hours_and_minutes)
            yield Event(lost.instant, Turn.ENDED, text)
        batches = self._told.batches
        if not batches:
            return
        first, last = batches[0], batches[-1]
        yield Event(first.begun, Turn.HAPPENED, "first batch in the mixer")
        yield Event(first.in_hopper, Turn.HAPPENED, "first batch in the hopper")
        yield Event(last.in_hopper, Turn.HAPPENED, f"last batch in the hopper: {self._mixed(batches)}")

    def _mixed(self, batches: tuple[Batch, ...]) -> str:
        volume = self._style.fine_volume(sum(batch.volume for batch in batches))
        return f"{several(len(batches), 'batch', 'batches')}, {volume} in all"


def thrown_away(style: Style, rejection: Rejection, what: str, span: Callable[[float], str]) -> str:
    """Say what was thrown away of a load or a batch, at which age, and of which life that was the end.

    Parameters: ``what`` was done to what, as of `what_became_of`; ``span`` writes a length of time [h].
    """
    volume, age = style.fine_volume(rejection.volume), span(rejection.age)
    if what.endswith(_ON_ITS_TEST):
        return f"{what} at age {age}: {volume} lost"
    if rejection.age - rejection.life < _WORTH_A_LINE:
        told = f"at age {age}, the end of its working life"
    else:
        told = f"at age {age}, past its working life of {span(rejection.life)}"
    if rejection.own_age < rejection.age:
        told += f", as old as what it was stirred into; its own is {span(rejection.own_age)}"
    return f"{what} {told}: {volume} lost"


def what_became_of(name: str, rejection: Rejection, ordered: float, has_begun: bool, verdict: str) -> str:
    """Say whether a load was refused, or which part of it was thrown away.

    Parameters: ``ordered`` [m³]; ``has_begun``, whether it had begun to discharge.
    """
    if verdict == REFUSED:
        return f"{name} {_ON_ITS_TEST}"
    if not has_begun:
        return f"{name} refused"
    return f"{'all' if rejection.volume == ordered else 'the rest'} of {name} thrown away"


def load_name(number: int | None) -> str:
    """Name a load by its number; one that replaces a load that was refused is that load again."""
    if number is None:
        return "a load"
    times, number = divmod(number, REPLACEMENT)
    return f"load {number}" + (" again" if times == 1 else f" again ({times + 1}.)" if times else "")


def punctuality(ticket: Ticket) -> str:
    """Say how late or early a load was at the gate."""
    assert ticket.arrived is not None
    late = ticket.arrived - ticket.due
    if abs(late) < _A_MINUTE:
        return "on time"
    return f"{abs(late) * 60:.0f} min {'late' if late > 0 else 'early'}"


def span_of_layers(first: int, last: int) -> str:
    """Name a layer or several."""
    return f"layer {first}" if first == last else f"layers {first} to {last}"


def account_label(item: Doing | Cause) -> str:
    """Name an item of the day's account."""
    return DONE[item] if isinstance(item, Doing) else f"waiting for {WAITED_FOR[item]}"
