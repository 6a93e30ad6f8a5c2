"""The page of a relief study, headed by what it asks: what would bring the date forward."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from pathlib import Path

from sitesim.answers.relief import Relieved
from sitesim.report.document import Section, write_with_data
from sitesim.report.figures import chart
from sitesim.report.markup import Html, beneath, bullets, element, in_full, joined, paragraph, small, table
from sitesim.report.question_page import assumed, facts_of, notice, question_page
from sitesim.report.relief_beside import PAGE
from sitesim.report.relief_charts import relief_chart
from sitesim.report.relief_figures import (
    a_day_interval,
    a_day_won,
    interval_of_mean,
    money_interval,
    money_signed,
    order_of,
    won_alone,
)
from sitesim.report.relief_notes import ASSUMED, CAUTIONS, how_sure
from sitesim.report.relief_terminal import shown_of
from sitesim.report.relief_words import (
    HEADING,
    answer,
    as_data,
    homes_in_words,
    idle_in_words,
    more_answers,
    moved_most,
    not_told,
    reason,
    together_in_words,
    unpriced_of,
)
from sitesim.report.shift_words import interval_of, signed
from sitesim.report.words import Style, several, together
from sitesim.scenario.reliefs import in_a_sentence
from sitesim.study.relieving import ReliefStudy


def write_relief_page(study: ReliefStudy) -> Path:
    """Write the page of a relief study, and its figures for programs, into its folder; returns the page's place."""
    return write_with_data(study.basis.folder / PAGE, build_relief_page(study), as_data(study))


def build_relief_page(study: ReliefStudy) -> str:
    """Build the page of a relief study."""
    planned = study.planned
    facts = facts_of(Style.of_basis(study.basis), planned, "relief", study.basis.seed)
    return question_page(HEADING, planned.name, answer(study), facts, more_answers(study), _sections(study))


def _sections(study: ReliefStudy) -> Iterator[Section]:
    """Give the sections in turn."""
    style = Style.of_basis(study.basis)
    yield "worth", "What wins days, and for how much?", _ranking(style, study)
    yield "why", "Why?", _why(study)
    yield "together", "And together?", _together(style, study)
    yield "homes", "Which homes are handed over earlier?", _homes(study)
    yield "busy", "Would they be busy?", _busy(study)
    yield "played", "What was played?", _played(study)
    yield "assumed", "What is assumed?", assumed(ASSUMED, study.basis.assumptions)
    yield "sure", "How sure are these figures?", bullets(how_sure(study))
    yield "cautions", "Cautions", bullets([*CAUTIONS, *study.basis.cautions])


def _ranking(style: Style, study: ReliefStudy) -> Html:
    shown = shown_of(study)
    figure = relief_chart(style, shown)
    caption = (
        "Marks: working days won by the date at 4 in 5, and the mean difference of cost; bars: their 95 % intervals. "
        "Dots win days, crosses lose them by the mean of the pairs of runs; hollow ones cannot be told from no change."
    )
    return joined(
        [
            notice("Does not apply to this scenario:", study.basis.left_out),
            Html("") if figure is None else chart(figure, "Working days won and money for each relief", caption),
            _table(style, study, shown),
            _untold(style, study),
        ]
    )


def _table(style: Style, study: ReliefStudy, reliefs: Sequence[Relieved]) -> Html:
    if not reliefs:
        return Html("")
    heads = ["", "Won at 4 in 5", "Won at 1 in 2", "Won on average", "Cost", "A day won", "Earlier / same / later"]
    rows = [_ranked(style, one, unpriced_of(study).get(one.name, ())) for one in reliefs]
    return table(
        "Working days won, + earlier, and money, + dearer, with 95 % intervals", heads, rows, class_="dates folds"
    )


def _untold(style: Style, study: ReliefStudy) -> Html:
    names = [] if study.asked_only else not_told(study)
    if not names:
        return Html("")
    told = together(in_a_sentence(name) for name in names)
    rest = [one for one in study.reliefs if one.name in names]
    return joined(
        [
            paragraph(f"Win nothing that the runs can tell: {told}."),
            in_full("The figures of those that win nothing", _table(style, study, rest)),
        ]
    )


def _ranked(style: Style, one: Relieved, unpriced: Sequence[str]) -> list[str]:
    notes = [f"not in the cost: {lacking}" for lacking in unpriced]
    if one.unfinished:
        notes.append(f"{several(one.unfinished, 'run')} of {one.runs} do not end")
    if not one.distinguishable:
        notes.append("cannot be told apart from no change")
    mean = "–" if math.isnan(one.won.mean) else signed(one.won.mean, 1)
    return [
        joined([one.name, *(beneath(note) for note in notes)]),
        joined([_with_small(won_alone(one.won_p80), interval_of(one.won_p80)), beneath(_by(style, one))]),
        _with_small(won_alone(one.won_p50), interval_of(one.won_p50)),
        _with_small(mean, interval_of_mean(one.won)),
        _with_small(money_signed(style, one.cost.mean), money_interval(style, one.cost)),
        _with_small(a_day_won(style, one), a_day_interval(style, one)),
        order_of(one.order),
    ]


def _by(style: Style, one: Relieved) -> str:
    return f"by {style.short_date(one.finish_p80)}" if one.finish_p80 else "no date"


def _with_small(told: str, within: str) -> Html:
    return joined([told, small(within) if within else Html("")])


def _why(study: ReliefStudy) -> Html:
    rows = [[one.name, reason(one), moved_most(one)] for one in (*shown_of(study), *study.pairs)]
    if not rows:
        return Html("")
    return joined(
        [
            paragraph(
                "From the last hand-over back to the first day there is a chain of steps, each held by the one before "
                "it. What a relief was to relieve held so many calendar days of it as planned, and holds so many now; "
                "then what holds most, and what moved most."
            ),
            table("Calendar days of the finish, mean of the runs", ["", "Before and now", "Moved most"], rows),
        ]
    )


def _together(style: Style, study: ReliefStudy) -> Html:
    joint = [*study.pairs, *(one for one in study.reliefs if one.parts)]
    if not joint:
        return Html("")
    rows = [
        [
            one.name,
            _with_small(signed(one.won.mean, 1), interval_of_mean(one.won)),
            _with_small(money_signed(style, one.cost.mean), money_interval(style, one.cost)),
            _with_small(a_day_won(style, one), a_day_interval(style, one)),
            together_in_words(one.beyond),
        ]
        for one in joint
    ]
    return joined(
        [
            paragraph(
                "Relieving one bottleneck shows the next: two reliefs may win more together than the sum of what each "
                "wins, or less where they relieve the same."
            ),
            table(
                "Together, in working days on average",
                ["", "Won on average", "Cost", "A day won", "Against the sum"],
                rows,
            ),
        ]
    )


def _homes(study: ReliefStudy) -> Html:
    rows = [[one.name, homes_in_words(one)] for one in (*shown_of(study), *study.pairs) if one.homes]
    return table("Homes that gain, mean of the pairs of runs", ["", "Homes"], rows) if rows else Html("")


def _busy(study: ReliefStudy) -> Html:
    rows = [
        [one.name, joined([element("div", idle_in_words(idle)) for idle in one.idle])]
        for one in (*study.reliefs, *study.pairs)
        if one.idle
    ]
    if not rows:
        return Html("")
    told = table("Waiting of those of whom there are more, mean of the runs", ["", "Waiting"], rows)
    return told if study.asked_only else in_full("How those wait of whom there are more", told)


def _played(study: ReliefStudy) -> Html:
    rows = [[name, joined(lines, " ")] for name, lines in study.basis.played if lines]
    if not rows:
        return Html("")
    told = table("With each relief", ["", "Told of it"], rows)
    said = paragraph("What is told of the site with each relief and not of the site as planned.")
    return joined([said, told if study.asked_only else in_full("With each relief", told)])
