"""Which reliefs are worth a study of their own, by what holds the date of a site."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from sitesim.answers.bottleneck import PRINTING_IN_TURN
from sitesim.plan import Cause, UnitKind

if TYPE_CHECKING:
    from sitesim.scenario import Scenario
    from sitesim.scenario.reliefs import Relief

_MOST = 6
_DAYS, _EVERYBODY_S = "Saturdays", "Saturdays for every gang"
_WITH_CREW = "printer with"
"""In the names of one more printer together with those who run it."""

Found = Mapping[str, Any]


def worth_trying(scenario: Scenario, found: Found) -> list[dict[str, Any]]:
    """Name reliefs that a scenario suggests for what holds its date most, the bottleneck first, and its Saturdays.

    Parameters: ``found``, the bottleneck as `sitesim.answers.bottleneck` gives it. Each comes with ``only``, the word
    that chooses it, and the names of the ``reliefs`` that are meant by it.
    """
    from sitesim.scenario.naming import meant_by
    from sitesim.scenario.reliefs import usual_reliefs

    usual = usual_reliefs(scenario)
    meant: dict[str, list[str]] = {}
    holders = 0
    for holder in _holders(found):
        words = {word: [one.name for one in meant_by(word, usual)] for word in _words(holder, usual)}
        new = {word: names for word, names in words.items() if names and word not in meant}
        meant |= new
        holders += bool(new)
        if holders == _MOST:
            break
    days = [relief.name for relief in usual if relief.name.startswith(_DAYS)]
    meant |= {name: [name] for name in [one for one in days if one == _EVERYBODY_S] or days[:1]}
    return [{"only": word, "reliefs": names} for word, names in meant.items()]


def _holders(found: Found) -> Iterator[Found]:
    """Give what holds the date: the bottleneck, or what makes up the printers' turns, then all the rest, most first."""
    pace, turn = found["pace"], found["turn"]
    if pace is not None and pace["what"] == PRINTING_IN_TURN:
        yield from turn["by"]
    elif pace is not None:
        yield pace
    yield from found["by"]


def _words(holder: Found, usual: Sequence[Relief]) -> Iterator[str]:
    """Give the words that choose the reliefs of what holds a date; none of what nothing relieves."""
    cause, of = holder["cause"], holder["of"].replace("_", " ")
    if cause == Cause.PRINTER:
        with_crew = [one.name for one in usual if one.more[:1] == (UnitKind.PRINTER,) and len(one.more) > 1]
        yield from [_WITH_CREW] if all(_WITH_CREW in name for name in with_crew) else with_crew
    elif cause == Cause.CREW:
        yield from holder["of"].split(" and ")
    elif cause in (Cause.TENT, Cause.CRANE):
        yield cause
    elif cause == Cause.INSPECTION and of:
        yield f"{of} inspector"
    elif cause == Cause.MATERIAL and of:
        yield of
