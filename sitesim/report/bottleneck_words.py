"""What sets the pace of a site, by what evidence, and how to ask what more of it would bring, in sentences."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sitesim.answers.bottleneck import OTHERS, PRINTING_IN_TURN
from sitesim.plan import Cause
from sitesim.report.words import HELD_BY, name_label, percent, task_label, together

_NAMED = 3

Found = Mapping[str, Any]


def rhythm(found: Found) -> str:
    """Say in one sentence what sets the pace, by the days that it holds."""
    pace, total = found["pace"], found["days"]
    if pace is None:
        return f"No gang or machine sets the pace: of {total:.0f} days up to the last hand-over {_named(found['by'])}."
    of_total = f"{pace['days']:.0f} of the {total:.0f} days up to the last hand-over ({percent(pace['days'] / total)})"
    if pace["what"] == PRINTING_IN_TURN:
        printers = "the printer's turn" if found["turn"]["printers"] == 1 else "the printers' turns"
        return (
            f"Printing sets the pace: {of_total} lie in {printers} at one building after the other, "
            f"from setting up to taking down."
        )
    return f"{_capital(holder_label(pace))} sets the pace: it holds {of_total}."


def evidence(found: Found) -> list[str]:
    """Give what else speaks for it: how long it takes, how busy it is, how far apart the hand-overs are."""
    pace, turn, interval = found["pace"], found["turn"], found["interval"]
    lines = []
    between = ""
    if interval is not None:
        between = f"one {interval['of']} is handed over every {interval['days']:.1f} days on average"
    if pace is not None and pace["what"] == PRINTING_IN_TURN and turn["at_a_building"] is not None:
        each = "it is" if turn["printers"] == 1 else f"each of {turn['printers']} is"
        stays = f"A printer is at a building for {turn['at_a_building']:.1f} days"
        busy = f"between its first setting up and its last taking down {each} at some building {percent(turn['busy'])}"
        lines.append(f"{stays}, and {busy} of the time" + (f"; {between}." if between else "."))
        lines.append(f"Of the turns' days {_named(turn['by'])}.")
    elif between:
        lines.append(f"{_capital(between)}.")
    if found["gangs"]:
        busiest = found["gangs"][0]
        lines.append(
            f"The busiest gang between its first work and its last is {gang_label(busiest['gang'])}, at work "
            f"{percent(busiest['busy'])} of its hours on shift."
        )
    first = found["by"][0]
    if pace is not None and first["cause"] in (OTHERS, Cause.MATERIAL, Cause.CURE) and first["days"] > pace["days"]:
        lines.append(f"Still more days, {first['days']:.0f}, go to {days_label(first)}, for which nobody queues.")
    return lines


def how_counted(found: Found) -> str:
    """Say why something may have other days here than among what held the date, where they are counted by its cause."""
    there = "under “What held the date?” the same days are by what was waited for"
    if not any(row["cause"] == Cause.PRINTER for row in found["by"]):
        return f"The calendar days here are by who had them in hand; {there}."
    return (
        f"The calendar days here are by who had them in hand, {there}: so {HELD_BY[Cause.PRINTER]} has more of them "
        "here, with its waits for concrete, weather and repairs."
    )


def what_next(found: Found, scenario: str = "FILE") -> str:
    """Say how to ask what more of it would bring; empty where nothing that the scenario has would be more of it."""
    tried = found.get("worth_trying", [])
    return f"What more of it would bring: {command(found, scenario)}" if tried else ""


def command(found: Found, scenario: str = "FILE") -> str:
    """Give the command that plays the reliefs worth trying."""
    return " ".join(command_parts(found, scenario))


def command_parts(found: Found, scenario: str = "FILE") -> list[str]:
    """Give that command in parts that are not to be broken."""
    return [f"sitesim relief {scenario}", *(f"--only {_quoted(one['only'])}" for one in found["worth_trying"])]


def _named(rows: list[Found]) -> str:
    """Name the first few with their days."""
    return together(f"{row['days']:.0f} go to {days_label(row)}" for row in rows[:_NAMED])


def _quoted(word: str) -> str:
    return f'"{word}"' if " " in word else word


def days_label(holder: Found) -> str:
    """Say what the days went to that something holds."""
    cause, of = holder["cause"], holder["of"]
    if cause == Cause.CREW and of:
        return f"{holder_label(holder)}'s work"
    return (
        f"waiting for {holder_label(holder)}"
        if of and cause in (Cause.INSPECTION, Cause.MATERIAL)
        else holder_label(holder)
    )


def holder_label(holder: Found) -> str:
    """Name what holds a date: the gang, the machine's work, the inspector or the delivery."""
    cause, of = holder["cause"], holder["of"]
    if cause == OTHERS:
        return task_label(of)
    if cause == Cause.CREW and of:
        return together(gang_label(name) for name in of.split(" and "))
    if cause == Cause.INSPECTION and of:
        return f"the {name_label(of)} inspector"
    return f"the {name_label(of)}" if cause == Cause.MATERIAL and of else HELD_BY[cause]


def gang_label(name: str) -> str:
    """Call a gang by its name in words."""
    words = name_label(name)
    return f"the {words}" if words.endswith(("gang", "crew")) else f"the {words} gang"


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"
