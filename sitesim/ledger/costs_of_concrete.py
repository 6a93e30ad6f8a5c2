"""What concrete bills: what stays, what is thrown away and why, trucks that stand, what mixes it on site."""

from __future__ import annotations

from collections.abc import Mapping

from sitesim.ledger.bill import Bill, Place
from sitesim.ledger.book import Ledger
from sitesim.ledger.held import WorkingDays
from sitesim.ledger.rows import REFUSED
from sitesim.plan import Cause, Kind, Plan, ReadyMix, SiteMix, SpentOn

_NOBODYS: Place = (SpentOn.HIRE, None)


def bill_supply(
    bill: Bill, plan: Plan, ledger: Ledger, working_days: WorkingDays, on_print_days: Mapping[Place, float]
) -> None:
    """Bill the printed concrete; what is refused at the gate is the producer's own.

    Parameters: ``on_print_days``, the printers' hours by cause, by which hire from the first print day to the last is
    shared out.
    """
    supply, concrete, counts = plan.supply, ledger.concrete, ledger.counts
    if supply is None:
        return
    refused = sum(load.ordered for load in ledger.loads if load.verdict == REFUSED)
    too_old = concrete.rejected - refused
    volumes: dict[Place, float] = {
        (SpentOn.CONCRETE, None): concrete.in_place + concrete.joint_preparation,
        (SpentOn.WASTE, None): concrete.priming + concrete.washed_out + concrete.returned,
        (SpentOn.WASTE, Cause.CONCRETE): too_old,
        (SpentOn.WASTE, Cause.BREAKDOWN): concrete.lost_to_blockages,
    }
    volumes = {place: volume for place, volume in volumes.items() if volume > 0.0}
    bill.add(SpentOn.WASTE, Cause.CONCRETE, "disposal", supply.disposal * too_old)
    bill.add(SpentOn.WASTE, None, "disposal", supply.disposal * concrete.returned)
    if isinstance(supply, SiteMix):
        bill.share_out("dry blend", supply.blend * concrete.batched, volumes, (SpentOn.CONCRETE, None))
        bill.add(SpentOn.WORK, None, "mixing hands", supply.hands * counts.day_hours)
        if supply.mixer:
            days = working_days.within(_span_of_printing(ledger))
            bill.share_out("mixer", supply.mixer * days, on_print_days, _NOBODYS)
        return
    assert isinstance(supply, ReadyMix)
    paid = [load for load in ledger.loads if load.verdict != REFUSED]
    bill.share_out("ready-mix", supply.price * (concrete.batched - refused), volumes, (SpentOn.CONCRETE, None))
    short = sum(load.ordered for load in paid if load.ordered < supply.short_under)
    bill.add(SpentOn.CONCRETE, None, "short loads", supply.short_load * short)
    standby = supply.standby * sum(load.standby for load in paid)
    bill.add(SpentOn.STANDBY, Cause.PRINTER, "truck standby", standby)
    by_weather = counts.loads_called_off_by_weather
    bill.add(SpentOn.WASTE, Cause.WEATHER, "loads called off", supply.cancellation * by_weather)
    others = counts.loads_called_off - by_weather
    bill.add(SpentOn.WASTE, Cause.PRINTER, "loads called off", supply.cancellation * others)
    if supply.holding and supply.holding.day:
        days = working_days.within(_span_of_printing(ledger))
        bill.share_out("holding hopper", supply.holding.day * days, on_print_days, _NOBODYS)


def bill_pours(bill: Bill, plan: Plan, ledger: Ledger) -> None:
    """Bill the loads of the pours; one that is refused is the producer's own."""
    sums: dict[Place, float] = {}

    def owe(spent_on: SpentOn, cause: Cause | None, amount: float) -> None:
        sums[spent_on, cause] = sums.get((spent_on, cause), 0.0) + amount

    for load in ledger.poured:
        pour = plan.nodes[load.node].task.pour
        assert pour is not None
        if load.verdict == REFUSED:
            continue
        short = pour.short_load * load.ordered if load.ordered < pour.short_under else 0.0
        owe(SpentOn.CONCRETE, None, pour.price * load.placed + short)
        owe(SpentOn.WASTE, Cause.CONCRETE, (pour.price + pour.disposal) * load.rejected)
        owe(SpentOn.WASTE, None, (pour.price + pour.disposal) * load.returned)
        owe(SpentOn.STANDBY, Cause.CREW, pour.standby * load.standby)
    for (spent_on, cause), amount in sums.items():
        bill.add(spent_on, cause, "poured concrete", amount)


def _span_of_printing(ledger: Ledger) -> tuple[float, float]:
    """Give the span [h] from the first print day to the end of the last."""
    days = [entry for entry in ledger.entries if entry.kind is Kind.PRINTING]
    return (min(day.start for day in days), max(day.end for day in days)) if days else (0.0, 0.0)
