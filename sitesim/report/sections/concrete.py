"""Where the concrete went, and how the printing fared."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from sitesim.answers.statistics import mean_interval
from sitesim.report.markup import Html, bar, element, joined, paragraph, table
from sitesim.report.words import CONCRETE, Style, mean, percent

if TYPE_CHECKING:
    import pandas as pd


Summary = Mapping[str, Any]


def concrete(style: Style, summary: Summary, runs: pd.DataFrame) -> Html:
    """Answer where the concrete went, and how the printing fared."""
    batched = summary["concrete"]["batched_m3"]
    if not batched["value"]:
        return paragraph("No walls are printed in this scenario.")
    rows = []
    for column, label in CONCRETE.items():
        found = summary["concrete"][column]
        share = (found["value"] or 0.0) / batched["value"]
        rows.append([label, style.mean_volume(found), percent(share), bar(share)])
    rows.append(["batched in all", style.mean_volume(batched), "", ""])
    return joined(
        [
            table("Mean of the runs", ["Concrete", "Volume", "Share", ""], rows, numbers=(1, 2), class_="bars"),
            element("h3", "How did the printing go?"),
            table("Mean of the runs, whole site", ["", "In a run"], _printing(style, summary, runs), numbers=(1,)),
        ]
    )


def _printing(style: Style, summary: Summary, runs: pd.DataFrame) -> Iterable[Sequence[str]]:
    quality, printing, trucks = summary["quality"], summary["printing"], summary["trucks"]
    yield "print days", mean(printing["print_days"])
    yield "hours in which the nozzle lays concrete", mean(printing["nozzle_hours"])
    if printing["nozzle_share"] is not None:
        yield "share of the print days' hours", _nozzle_share(printing["nozzle_share"], runs)
    yield "unplanned joints (past open time)", mean(quality["unplanned_joints"])
    yield "stops of printer and pump", mean(quality["stops"])
    yield "print days called off", mean(quality["days_called_off"])
    if trucks["loads"]["value"]:
        yield "loads", mean(trucks["loads"])
        yield "loads called off", mean(trucks["loads_called_off"])
        yield "truck standby, hours", mean(trucks["standby_hours"])
    past, poured = summary["concrete"]["past_agreed_life_m3"], summary["concrete"]["poured_m3"]
    if past["value"]:
        yield "used past its agreed life, as the waiver allows", style.mean_volume(past)
    if poured["value"]:
        yield "poured beside printing", style.mean_volume(poured)
        yield "breaks in those pours", mean(quality["pour_breaks"])


def _nozzle_share(share: float, runs: pd.DataFrame) -> str:
    """Write the share with its error: a ratio of two means, by its linear form (Cochran, Sampling Techniques, 6.3)."""
    nozzle, printing = (
        runs["nozzle_hours"].to_numpy(dtype=float),
        runs["print_day_hours"].to_numpy(dtype=float),
    )
    found = mean_interval(share + (nozzle - share * printing) / printing.mean())
    return f"{mean({'value': 100 * share, 'low': 100 * found.low, 'high': 100 * found.high})} %"
