"""Which reliefs are worth a study of their own, by what holds the date of a site."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from sitesim.answers.bottleneck import PRINTING_IN_TURN
from sitesim.plan import Cause

if TYPE_CHECKING:
    from sitesim.scenario import Scenario

_MOST = 3
_DAYS = "Saturdays"

Found = Mapping[str, Any]


def worth_trying(scenario: Scenario, found: Found) -> list[dict[str, Any]]:
    """Name reliefs that a scenario suggests for what holds its date most, the bottleneck first.

    Parameters: ``found``, the bottleneck as `sitesim.answers.bottleneck` gives it. Each comes with ``only``, the word
    that chooses it, and the names of the ``reliefs`` that are meant by it.
    """
    from sitesim.scenario.naming import meant_by
    from sitesim.scenario.reliefs import usual_reliefs

    usual = usual_reliefs(scenario)
    words = dict.fromkeys(word for holder in _holders(found) for word in _words(holder))
    meant = ((word, [relief.name for relief in meant_by(word, usual)]) for word in words)
    tried = [{"only": word, "reliefs": names} for word, names in meant if names][:_MOST]
    days = [relief.name for relief in usual if relief.name.startswith(_DAYS)]
    everybody_s = next((name for name in days if name == f"{_DAYS} for every gang"), "")
    return tried + [{"only": name, "reliefs": [name]} for name in ([everybody_s] if everybody_s else days[:1])]


def _holders(found: Found) -> Iterator[Found]:
    """Give what holds the date: the bottleneck, or what makes up the printers' turns, then all the rest, most first."""
    pace, turn = found["pace"], found["turn"]
    if pace is not None and pace["what"] == PRINTING_IN_TURN:
        yield from turn["by"]
    elif pace is not None:
        yield pace
    yield from found["by"]


def _words(holder: Found) -> Iterator[str]:
    """Give the words that choose the reliefs of what holds a date; none of what nothing relieves."""
    cause, of = holder["cause"], holder["of"].replace("_", " ")
    if cause == Cause.PRINTER:
        yield "printer with"  # those who run it come along
    elif cause == Cause.CREW:
        yield from holder["of"].split(" and ")
    elif cause in (Cause.TENT, Cause.CRANE):
        yield cause
    elif cause == Cause.INSPECTION and of:
        yield f"{of} inspector"
    elif cause == Cause.MATERIAL and of:
        yield of
