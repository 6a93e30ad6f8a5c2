"""The page of a stress study, headed by what it asks: what if it goes wrong."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

from sitesim.answers.differences import QuantileShift
from sitesim.answers.statistics import Estimate
from sitesim.answers.stress import Shift
from sitesim.report.document import Section, write_with_data
from sitesim.report.figures import chart
from sitesim.report.markup import Html, beneath, bullets, joined, paragraph, small, table
from sitesim.report.question_page import assumed, facts_of, notice, question_page
from sitesim.report.shift_words import interval_of, mean_with_interval, shift_alone
from sitesim.report.stress_charts import months_chart, ranking_chart
from sitesim.report.stress_terminal import duration_of, finish_range, weather_of
from sitesim.report.stress_weather import weather_section
from sitesim.report.stress_words import (
    HEADING,
    answer,
    as_data,
    called,
    chance_to_meet,
    held_then,
    how_sure,
    interval_of_chance,
    more_answers,
    put_off_note,
    short_month,
)
from sitesim.report.words import Style, several, together
from sitesim.study.stressing import StressStudy

PAGE = "stress.html"


def write_stress_page(study: StressStudy) -> Path:
    """Write the page of a stress study, and its figures for programs, into its folder; returns the page's place."""
    return write_with_data(study.basis.folder / PAGE, build_stress_page(study), as_data(study))


def build_stress_page(study: StressStudy) -> str:
    """Build the page of a stress study."""
    planned = study.planned
    facts = facts_of(Style.of_basis(study.basis), planned, "variant", study.basis.seed)
    return question_page(HEADING, planned.name, answer(study), facts, more_answers(study), _sections(study))


def _sections(study: StressStudy) -> Iterator[Section]:
    """Give the sections in turn."""
    style = Style.of_basis(study.basis)
    yield "worst", "What hurts most?", _ranking(style, study)
    yield "weather", "What does the weather cost, month by month?", weather_section(style, study)
    yield "held", "What held the date then?", _held(study)
    yield "start", "In which month should we start?", _months(style, study)
    yield "played", "What was played?", _played(study)
    yield "assumed", "What is assumed?", _assumed(study)
    yield "sure", "How sure are these figures?", bullets(how_sure(study))
    yield "cautions", "Cautions", bullets(study.basis.cautions) if study.basis.cautions else Html("")


def _ranking(style: Style, study: StressStudy) -> Html:
    figure = ranking_chart(study.shifts)
    asked = study.planned.asked
    rows = [_ranked(style, one) for one in study.shifts]
    planned = [
        "As planned",
        "",
        "",
        "",
        style.short_date(study.planned.finish_p80),
        _chance_cell(study.planned.meets),
    ]
    return joined(
        [
            _left_out(study),
            Html("")
            if figure is None
            else chart(
                figure,
                "Shift of the finish under each stress",
                _ranking_caption(study),
            ),
            table(
                "Shift of the finish in working days, + later, with 95 % intervals",
                [
                    "",
                    "At 4 in 5",
                    "At 1 in 2",
                    "Mean of the pairs",
                    "4 in 5 finish by",
                    joined(["Still by", small(style.short_date(asked) if asked else "no date")]),
                ],
                [*rows, planned],
                class_="dates folds",
            ),
        ]
    )


def _ranking_caption(study: StressStudy) -> str:
    undrawn = [one.name for one in study.shifts if not math.isfinite(one.p80.shift)]
    left = f" Not drawn, for there is no date at 4 in 5: {together(undrawn)}." if undrawn else ""
    return (
        "Filled: the date at 4 in 5; hollow: at 1 in 2; bars: their 95 % intervals. In the order of the mean of the "
        f"pairs; grey: by that mean it cannot be told apart from no change.{left}"
    )


def _ranked(style: Style, shift: Shift) -> list[str]:
    notes = [f"{several(shift.unfinished, 'run')} of {shift.runs} do not end"] if shift.unfinished else []
    if not shift.distinguishable:
        notes.append("cannot be told apart from no change")
    return [
        joined([called(shift), *(beneath(note) for note in notes)]),
        _shift_cell(shift.p80),
        _shift_cell(shift.p50),
        mean_with_interval(shift.mean),
        style.short_date(shift.finish_p80),
        _chance_cell(shift.meets),
    ]


def _shift_cell(shift: QuantileShift) -> Html:
    within = interval_of(shift)
    return joined([shift_alone(shift), small(within) if within else Html("")])


def _chance_cell(meets: Estimate) -> Html:
    return joined([chance_to_meet(meets), small(interval_of_chance(meets))])


def _left_out(study: StressStudy) -> Html:
    return joined(
        [
            notice("Does not apply to this scenario:", study.basis.left_out),
            notice("Was played, but may change little:", study.doubted),
        ]
    )


def _held(study: StressStudy) -> Html:
    if not study.shifts:
        return Html("")
    rows = [[one.name, held_then(one)] for one in study.shifts]
    return joined(
        [
            paragraph(
                "From the last hand-over back to the first day there is a chain of steps, each held by the one before "
                "it. First the cause with most days of it under the stress, then the causes whose days moved against "
                "the plan."
            ),
            table("Calendar days of the finish by cause", ["", "Held most, and what moved (days)"], rows),
        ]
    )


def _months(style: Style, study: StressStudy) -> Html:
    if not study.months:
        return Html("")
    figure = months_chart(style, study.months)
    note = put_off_note(style, study.months)
    by_start = study.weather.by_start
    costs = [["–" if cost is None else style.money(cost.money)] for cost in by_start] or [[] for _ in study.months]
    rows = [
        [
            joined([short_month(one.start), beneath(f"on {style.day_and_month(one.start)}")]),
            joined([style.short_date(one.finish), small(finish_range(style, one))]),
            duration_of(one),
            weather_of(one),
            *cost,
        ]
        for one, cost in zip(study.months, costs, strict=True)
    ]
    return joined(
        [
            paragraph(
                "The same site begun in each of these months, on the same day of the week, with the dates of the slabs "
                "moved along. The weather of a civil day is the same whenever the work begins."
            ),
            paragraph(note) if note else Html(""),
            Html("")
            if figure is None
            else chart(
                figure, "Finish, duration and weather by month of start", "Shaded: 95 % intervals.", needs_room=True
            ),
            table(
                "By month of start",
                [
                    "Start",
                    "4 in 5 finish by",
                    "Days, at 4 in 5",
                    "Working days lost to weather",
                    *(["What weather costs"] if by_start else []),
                ],
                rows,
                numbers=(2, 3, 4),
                class_="dates folds",
            ),
        ]
    )


def _played(study: StressStudy) -> Html:
    rows = [[name, joined(lines, " ")] for name, lines in study.basis.played if lines]
    if not rows:
        return Html("")
    return joined(
        [
            paragraph("What is told of the site under each stress and not of the site as planned."),
            table("Under each stress", ["", "Told of it"], rows),
        ]
    )


def _assumed(study: StressStudy) -> Html:
    lines = [
        "How much goes wrong in each stress is written in the list of stresses and assumed there; replace it by your "
        "own (sitesim stress --usual prints the list).",
        "Nobody changes the plan in answer to what goes wrong: no other gang is called in, no overtime, no other order "
        "of buildings.",
        "Nobody stands in for a gang that is missing. A printer that is down, or a tent that is lost, stops the wall "
        "that is being printed and nothing else; it happens at the same layer in every run.",
        "Rain that lasts longer eats into the dry hours after each spell. The worst year is the one in which the site, "
        "played a few times in each, finishes last on average; it comes again day after day as it was, in every run.",
    ]
    return assumed(lines, study.basis.assumptions)
