"""The answer in one sentence, honest where there is no date, or no knowing how sure it is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sitesim.report.words import Style, chance_of, is_singular, several

_MOST_CONFIDENT_FIRST = (("P80", "Four in five runs"), ("P50", "Half of the runs"), ("P10", "One run in ten"))


def answer(summary: Mapping[str, Any]) -> str:
    """Say when four in five runs finish, how well that is known, and what the plain plan says."""
    style = Style.of(summary)
    parts = [_finish(style, summary), _plain_plan(style, summary)]
    return f"{'; '.join(part for part in parts if part)}.{_unfinished(summary)}"


def _finish(style: Style, summary: Mapping[str, Any]) -> str:
    runs, unfinished = summary["runs"], summary["unfinished"]["runs"]
    if unfinished == runs:
        return f"None of {several(runs, 'run')} comes to an end, so there is no date"
    finish = summary["finish"]
    if finish["P80"]["date"] is not None:
        return f"Four in five runs finish by {style.long_date(finish['P80']['date'])}{_how_sure(style, summary)}"
    without = "There is no date by which four in five runs finish"
    for name, who in _MOST_CONFIDENT_FIRST[1:]:
        if finish[name]["date"] is not None:
            verb = "finishes" if name == "P10" else "finish"
            return f"{without}; {who[0].lower()}{who[1:]} {verb} by {style.long_date(finish[name]['date'])}"
    return without


def _how_sure(style: Style, summary: Mapping[str, Any]) -> str:
    found = summary["finish"]["P80"]
    either_side = found["working_days_either_side"]
    if either_side is not None:
        return f" (± {several(either_side, 'working day')})" if either_side else " (known to the day)"
    few = several(summary["runs"], "run")
    if found["low"] is None:
        return f" ({few}: too few to say how sure that is)"
    return f" (from {style.day_and_month(found['low'])} on; {few}: too few, or too few that finish, to bound it above)"


def _plain_plan(style: Style, summary: Mapping[str, Any]) -> str:
    plain, runs = summary["plain_plan"], summary["runs"]
    if plain["date"] is None:
        return "the plain plan does not come to an end either" if summary["unfinished"]["runs"] == runs else ""
    share = plain["chance"]["value"] or 0.0
    meeting = chance_of(share, runs)
    verb = "meets" if is_singular(share, runs) else "meet"
    return f"the plain plan says {style.long_date(plain['date'])}, which {meeting} {verb}"


def _unfinished(summary: Mapping[str, Any]) -> str:
    runs, unfinished = summary["runs"], summary["unfinished"]["runs"]
    if not 0 < unfinished < runs:
        return ""
    verb = "does" if unfinished == 1 else "do"
    return f" {unfinished:,} of {several(runs, 'run')} {verb} not come to an end."
