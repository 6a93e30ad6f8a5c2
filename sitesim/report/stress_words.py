"""What goes wrong, and what it does to the finish, in words: sentences, shifts and their intervals."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import asdict
from datetime import date
from typing import Any

from sitesim.answers.differences import PairedDifference
from sitesim.answers.statistics import Estimate
from sitesim.answers.stress import MonthsApart, Shift, StartMonth
from sitesim.answers.variants import MovedCause
from sitesim.report.plain_data import plain_mapping
from sitesim.report.shift_words import signed
from sitesim.report.words import HELD_BY, Style, chance_of, is_singular, several, together
from sitesim.study.stressing import StressStudy

HEADING = "What if it goes wrong"
_NAMED = 3


def answer(study: StressStudy) -> str:
    """Say in a sentence which stresses put the finish off most, each by itself, on the mean of the pairs of runs."""
    worst = [one for one in study.shifts if _is_single_harm(one)][:_NAMED]
    if not worst:
        return "Nothing that is played here by itself puts the finish off by so much that the runs can tell."
    first = next((one for one in worst if math.isfinite(one.moved)), None)
    told = [f"{_in_a_row(one.name, place)} {in_days(one, one is first)}" for place, one in enumerate(worst)]
    return f"{', '.join(told)}."


def more_answers(study: StressStudy) -> list[str]:
    """Say what else a scheduler asks first: the planned date, what comes together, what gains time, when to start."""
    style = Style.of_basis(study.basis)
    lines = [_planned(style, study)]
    joint = next((one for one in study.shifts if one.parts and one.distinguishable and one.moved > 0), None)
    if joint is not None:
        lines.append(f"Together: {_first_small(joint.name)} {in_days(joint, True)}.")
    gains = [one for one in reversed(study.shifts) if one.distinguishable and one.moved < 0][:1]
    lines += [f"{one.name}: {in_days(one, True)}." for one in gains]
    if study.months:
        lines.append(months_sentence(study.months_apart))
    lines += _not_told(study)
    return lines


def in_days(shift: Shift, with_unit: bool) -> str:
    """Write the mean shift: ``+15.2 working days on average``, or that there is no date at 4 in 5 any more."""
    days = shift.moved
    if math.isinf(days):
        return "leaves no date by which 4 in 5 runs finish" if days > 0 else "gives a date where there was none"
    written = signed(days, 1)
    return f"{written} working {'day' if written in ('+1.0', '−1.0') else 'days'} on average" if with_unit else written


def _is_single_harm(shift: Shift) -> bool:
    return not shift.parts and not shift.months_moved and shift.distinguishable and shift.moved > 0


def _in_a_row(name: str, place: int) -> str:
    return name if place == 0 else _first_small(name)


def _first_small(name: str) -> str:
    """Write a name within a sentence; one in capitals stays."""
    return name if name[1:2].isupper() or name[1:2].isdigit() else f"{name[:1].lower()}{name[1:]}"


def _planned(style: Style, study: StressStudy) -> str:
    planned = study.planned
    if planned.finish_p80 is None:
        return f"As planned there is no date by which four in five of {several(planned.runs, 'run')} finish."
    by_then = f"As planned, four in five runs finish by {style.long_date(planned.finish_p80)}"
    if planned.asked == planned.finish_p80:
        return f"{by_then}."
    share = planned.meets.value
    verb = "meets" if is_singular(share, planned.runs) else "meet"
    return f"{by_then}; {chance_of(share, planned.runs)} {verb} {style.long_date(planned.asked)}."


def _not_told(study: StressStudy) -> list[str]:
    same = [one.name for one in study.shifts if not one.distinguishable]
    return [f"Cannot be told apart from no change: {together(map(_first_small, same))}."] if same else []


def months_sentence(apart: MonthsApart | None) -> str:
    """Say from which month of start it takes least and most, or how many runs would tell."""
    if apart is None:
        return "Months of start cannot be compared: fewer than two of them have a date at 4 in 5."
    longer, least, most = apart.longer, month_of(apart.least), month_of(apart.most)
    if longer.distinguishable:
        return (
            f"Begun in {least} the work takes least, begun in {most} it takes most: {_days_longer(longer)} longer, "
            "run by run under the same weather."
        )
    if apart.runs_to_tell is None:
        return "The work takes the same from every month of start."
    return (
        f"From which month of start the work takes least cannot be told: begun in {most} it takes "
        f"{_days_longer(longer)} longer than begun in {least}, run by run; about {several(apart.runs_to_tell, 'run')} "
        "of each would tell a difference of that size."
    )


def _days_longer(longer: PairedDifference) -> str:
    return f"{longer.mean:.1f} ± {(longer.high - longer.low) / 2:.1f} days"


def put_off_note(style: Style, months: Sequence[StartMonth]) -> str:
    """Say which starts are moved because nobody works on the day; nothing where none is."""
    moved = [one for one in months if one.is_put_off]
    if not moved:
        return ""
    told = [f"{style.day_and_month(one.start)} for {style.day_and_month(one.wanted)}" for one in moved]
    return f"Begun on the nearest working day, as the site does not work on the day itself: {', '.join(told)}."


def month_of(day: date) -> str:
    """Write a month and its year."""
    return f"{day:%B} {day.year}"


def short_month(day: date) -> str:
    """Write a month for a chart or a table."""
    return f"{day:%b} {day.year}"


def chance_to_meet(meets: Estimate) -> str:
    """Write the chance to meet a date in hundredths."""
    return f"{100 * meets.value:.0f} in 100"


def interval_of_chance(meets: Estimate) -> str:
    """Write the interval of a chance in hundredths, outward rounded."""
    return f"{math.floor(100 * meets.low + 1e-9)} to {math.ceil(100 * meets.high - 1e-9)}"


def called(shift: Shift) -> str:
    """Name a stress where its shift is told; a start that is moved counts with its own delay."""
    return f"{shift.name} (the move included)" if shift.months_moved else shift.name


def held_then(shift: Shift) -> str:
    """Say what holds the date now, and what of it has moved."""
    if shift.held_most is None:
        return "no run ends in both"
    most = f"{HELD_BY[shift.held_most.cause]} {shift.held_most.now:.0f} days"
    if not shift.held:
        told = "which cause moved cannot be told from these runs" if shift.distinguishable else ""
        return f"{most}; {told or 'nothing moved that the runs can tell'}"
    return f"{most}; moved: {', '.join(moved_cause(one) for one in shift.held)}"


def moved_cause(cause: MovedCause) -> str:
    """Write how the days of a cause moved."""
    return f"{HELD_BY[cause.cause]} {signed(cause.moved.mean, 1)}"


def how_sure(study: StressStudy) -> list[str]:
    """Say what the figures mean and how sure they are."""
    runs, seed = study.planned.runs, study.basis.seed
    return [
        f"Each variant was played {several(runs, 'time')} with seed {seed}: run by run the same weather, breakdowns "
        "and inspections wherever the stress leaves them alone, so that the shift is the stress's own.",
        "Shifts count working days of the site's calendar. The date at 4 in 5 (P80) is the one by which 4 in 5 runs "
        "finish, at 1 in 2 (P50) half of them. A later start counts with its whole delay.",
        "One rule says what hurts: the mean shift of the pairs of runs. By it stresses are ranked, named at the head "
        "and said to be told apart from no change, wherever the dates at 4 in 5 and 1 in 2 lie; only a stress that "
        "leaves no date at 4 in 5 at all comes before the others.",
        "Intervals are at 95 %: those of the shifts hold for all stresses of a column together, that between the "
        "months that take least and most for all pairs of months, those of chances and of each month by itself. They "
        "cover the luck of the runs only.",
        "A stress is what it costs if it happens. How likely it is to happen is not in these figures.",
        "What held the date: calendar days of the chain behind the last hand-over, by cause, mean of the runs that "
        "end both as planned and under the stress; only what the runs can tell is said to have moved. Days on which a "
        "gang is missing count as waiting for a crew, but for those whose weather would have stopped it.",
        "Working days lost to weather: hours of work on that chain in which weather held, in days of the site's "
        "calendar. Their money, on the mean of the runs that end, is what the bills of the runs charge to the weather: "
        "hours on shift in which gangs and machines wait for it, on that chain or not; hire by the day for that time; "
        "the site's overhead, and penalties, for the days that it held; heating the tent; loads called off. What a "
        "later finish costs beyond that is not in it. The months of the calendar add up to what is told of the site as "
        "planned.",
    ]


def as_data(study: StressStudy) -> dict[str, Any]:
    """Give a stress study as plain data for programs; what is not finite becomes None."""
    data = asdict(study)
    data |= data.pop("basis")
    data["folder"] = str(study.basis.folder)
    data["left_out"] = [{"name": name, "why": why} for name, why in study.basis.left_out]
    data["doubted"] = [{"name": name, "why": why} for name, why in study.doubted]
    for shift, one in zip(data["shifts"], study.shifts, strict=True):
        shift["distinguishable"] = one.distinguishable
    return plain_mapping(data)
