"""Buildings against time on the page: the lines of made-up visits, their names, and what is said of old folders."""

from __future__ import annotations

import html
from dataclasses import replace
from datetime import date, datetime
from itertools import pairwise

import plotly.graph_objects as go
import pytest
from page_parts import figures_of, rows_of, section_of
from scipy.optimize import minimize
from small_study import GANG, small_study

from sitesim.answers.flow import Visit
from sitesim.answers.stages import Stage
from sitesim.report.colours import line_looks
from sitesim.report.slanted_labels import spread
from sitesim.report.trades_chart import buildings_in_turn, lines_of, stage_names, trades_chart
from sitesim.report.words import Style

START = date(2027, 3, 1)
US = Style(True, "USD")


def visit(building: str, start: float, end: float) -> Visit:
    """Make a visit that begins and ends on a day."""
    return Visit(building, 24.0 * start, 24.0 * end, frozenset())


def drawn(*visits: list[Visit], names: list[str] | None = None) -> go.Figure:
    lines = lines_of(names or [f"trade {number}" for number in range(len(visits))], visits)
    figure = trades_chart(US, START, lines)
    assert figure is not None
    return figure


def test_a_line_goes_up_through_each_building_and_on_to_the_next() -> None:
    figure = drawn([visit("A", 0, 10), visit("B", 12, 20)])
    (trace,), (name,) = figure.data, figure.layout.annotations
    path = list(zip(trace.x, trace.y, strict=True))
    assert path[:4] == [
        ("2027-03-01T00:00", 0.1),
        ("2027-03-11T00:00", 0.9),
        ("2027-03-13T00:00", 1.1),
        ("2027-03-21T00:00", 1.9),
    ]
    assert "<b>trade 0</b>, B<br>Mar 13 to Mar 20, 8 days" in trace.hovertext
    assert [point[0] for point in path[-3:]] == 3 * ["2027-03-21T00:00"]  # its name stands above its end
    assert (name.text, name.name, name.x, name.y) == ("trade 0", "trade 0", *path[-1])
    assert path[-1][1] > 2.0


def test_a_trade_at_two_buildings_at_once_is_not_drawn_back_in_time() -> None:
    (trace,) = drawn([visit("A", 0, 10), visit("B", 5, 20)]).data
    assert trace.y[2] is None


def test_the_building_that_comes_first_is_at_the_foot() -> None:
    early, late = [visit("B", 3, 4), visit("A", 0, 1)], [visit("C", 2, 3)]
    assert buildings_in_turn([early, late]) == ["A", "C", "B"]
    assert list(drawn(early, late).layout.yaxis.ticktext) == ["A", "C", "B"]


def test_names_keep_their_distance_in_the_order_of_the_lines() -> None:
    close = drawn([visit("A", 0, 100)], [visit("A", 50, 101)], [visit("A", 60, 102)])
    at = [datetime.fromisoformat(one.x) for one in close.layout.annotations]
    days_a_pixel = 101 / 680  # from the first day, March 1, to the last, June 10
    for before, after in pairwise(at):
        assert (after - before).total_seconds() / 86400 == pytest.approx(14 * days_a_pixel, abs=0.01)
    assert at[1] == datetime(2027, 6, 10)  # the middle one of three a day apart stays above its line
    apart = drawn([visit("A", 0, 10)], [visit("A", 50, 110)])
    assert [one.x for one in apart.layout.annotations] == ["2027-03-11T00:00", "2027-06-19T00:00"]


@pytest.mark.parametrize(
    ("wanted", "told"),
    [
        ([], []),
        ([0.0, 10.0, 20.0], [0.0, 10.0, 20.0]),
        ([0.0, 0.0], [-2.5, 2.5]),
        ([0.0, 4.0, 30.0], [-0.5, 4.5, 30.0]),
        ([0.0, 6.0, 6.0, 6.0], [-1.0, 4.0, 9.0, 14.0]),  # 0, 1, -4, -9 less the gaps pool to -3, but for the first
    ],
)
def test_positions_move_as_little_as_it_takes(wanted: list[float], told: list[float]) -> None:
    found = spread(wanted, 5.0)
    assert all(after - before >= 5.0 - 1e-9 for before, after in pairwise(found))
    best = min_moves(wanted, 5.0)
    assert sum((a - b) ** 2 for a, b in zip(found, wanted, strict=True)) == pytest.approx(best, abs=1e-6)
    if len(wanted) < 4:
        assert found == pytest.approx(told)


def min_moves(wanted: list[float], gap: float) -> float:
    """Give the least sum of squared moves that keeps the gaps, by a general optimiser."""
    if not wanted:
        return 0.0
    gaps = [{"type": "ineq", "fun": lambda x, k=k: x[k + 1] - x[k] - gap} for k in range(len(wanted) - 1)]
    start = [wanted[0] + gap * k for k in range(len(wanted))]
    found = minimize(lambda x: sum((x - wanted) ** 2), start, constraints=gaps, method="SLSQP", tol=1e-12)
    return float(found.fun)


def test_lines_differ_in_colour_and_dash() -> None:
    looks = line_looks(35)
    assert len(set(looks)) == 35
    for first, second in pairwise(looks):
        assert first[0] != second[0]
        assert first[1] != second[1]


def test_nothing_to_draw() -> None:
    assert trades_chart(US, START, lines_of(["trade"], [[]])) is None


def test_a_trade_that_comes_twice_is_named_by_its_tasks() -> None:
    stages = [Stage("tent_1"), Stage("roof", ("deck",)), Stage("wires", ("rough",)), Stage("wires", ("second", "end"))]
    assert stage_names(stages) == ["tent 1", "roof", "rough", "second and end"]


def test_each_run_that_stands_for_a_confidence_can_be_chosen() -> None:
    study = small_study()
    standing, half = (study.summary["standing_for"][name] for name in ("P80", "P50"))
    text = section_of(study, "trades")
    assert text.count("data-panel") == len(figures_of(study)["trades"]) == 2
    assert f'aria-pressed="false">P50, 1 in 2 (run {half})</button>' in text
    assert f'aria-pressed="true">P80, 4 in 5 (run {standing})</button>' in text
    only = replace(study, activities=study.activities[study.activities["run"] == standing])
    assert "data-choice" not in section_of(only, "trades")


def test_the_table_has_the_days_of_each_trade_at_each_building() -> None:
    rows = rows_of(section_of(small_study(), "trades"))
    assert rows[:4] == [
        ["Trade", "A"],
        ["printer", "Mar 1 – Mar 18"],
        ["tent", "Mar 2 – Mar 4"],
        [html.escape(GANG), "Mar 30 – Apr 1"],
    ]


def test_a_folder_of_an_older_version_says_that_it_keeps_no_stages() -> None:
    study = small_study()
    del study.summary["stages"]
    assert "which kept no stages" in section_of(study, "trades")
