"""What a day costs and whose it is, promised dates and where the money goes, as they are read."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest
from rich.console import Console
from small_study import small_study
from test_side_by_side import AGAINST, compared

from sitesim.answers.differences import PairedDifference
from sitesim.answers.money_moved import MoneyMoved
from sitesim.report.cost_chart import charged_bars
from sitesim.report.money_moved import money_table
from sitesim.report.sections.cost import cost
from sitesim.report.sections.promised import promised
from sitesim.report.sections.whose_days import told_causes, whose_days
from sitesim.report.terminal import run_report
from sitesim.report.words import Style, item_label

STYLE = Style(us=True, currency="USD")


def text_of(html: str) -> str:
    """Give what is read of a section, its figures left out."""
    without = re.sub(r"<script.*?</script>", "", html, flags=re.DOTALL)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", without)).strip()


def with_promises(summary: dict[str, Any]) -> dict[str, Any]:
    def mean(value: float) -> dict[str, Any]:
        return {"value": value, "low": None, "high": None}

    chance = {"value": 0.75, "low": 0.58, "high": 0.88}
    place = {"days": "calendar", "met": chance, "penalty_a_day": 800.0, "bonus_a_day": 0.0, "bonus": mean(0.0)}
    site = place | {"place": "site", "is_site": True, "by": "2027-06-30", "penalty": mean(1234.0)}
    home = place | {"place": "A1 <x>", "is_site": False, "by": "2027-06-15", "penalty": mean(0.0)}
    home |= {"penalty_a_day": 0.0, "bonus_a_day": 100.0, "bonus": mean(-250.0)}
    items = [*summary["cost"]["items"], {"item": "bonus A1 <x>", "mean": -250.0}]
    return summary | {"promised": [site, home], "cost": summary["cost"] | {"items": items}}


def test_causes_are_told_with_their_days_and_what_they_cost() -> None:
    """40 runs: run r pays 2,000 + r for the weather's seven days, 19.50 more on average."""
    told = text_of(whose_days(STYLE, small_study().summary))
    assert "Cause Working days Overhead" in told
    assert "the days under “What held the date?” have 24 hours" in told
    assert "the work itself 42.0 $3,000 $400 $0 $3,400 $81" in told
    assert "weather 7.0 $2,020 $0 $0 $2,020 ± $4 $288" in told  # 288.50 a day, of an even half
    assert "inspection – $0 $600 $0 $600 –" in told
    assert "$4,020 is the work itself and charged to no cause" in told


def test_the_bars_are_what_is_charged() -> None:
    rows = told_causes(small_study().summary)
    figure = charged_bars(STYLE, rows)
    assert [trace.name for trace in figure.data] == ["site overhead and penalties", "waiting and idle hire"]
    charged = sum(sum(trace.x) for trace in figure.data)
    assert charged == pytest.approx(sum(row["amount"]["value"] for row in rows))


def test_a_summary_of_before_has_no_such_section() -> None:
    summary = small_study().summary
    older = summary | {"cost": {key: value for key, value in summary["cost"].items() if key not in ("causes", "rates")}}
    del older["promised"]
    assert whose_days(STYLE, older) == promised(STYLE, older) == ""


def test_promised_dates_come_with_their_chance_and_their_money() -> None:
    told = text_of(promised(STYLE, with_promises(small_study().summary)))
    assert "Whole site Jun 30, 2027 30 of 40 runs 58 to 88 in 100 $1,234 –" in told
    assert "A1 &lt;x&gt; Jun 15, 2027 30 of 40 runs 58 to 88 in 100 – $250" in told
    assert promised(STYLE, small_study().summary) == ""


def test_a_bonus_is_an_item_below_nothing() -> None:
    told = text_of(cost(STYLE, with_promises(small_study().summary)))
    assert "bonus, A1 &lt;x&gt; -$250 –" in told


@pytest.mark.parametrize("width", [80, 100])
def test_the_terminal_says_the_same(width: int) -> None:
    console = Console(width=width, record=True, file=None, force_terminal=False)
    with console.capture() as captured:
        console.print(run_report(with_promises(small_study().summary)))
    lines = captured.get().splitlines()
    assert max(map(len, lines)) <= width
    said = re.sub(r"\s+", " ", " ".join(lines))
    assert "weather 7.0 $2,020 $0 $0 $2,020 $288" in said
    assert "Whole site Jun 30, 2027 30 of 40 runs $1,234 –" in said
    assert "A1 <x> Jun 15, 2027 30 of 40 runs – $250" in said


@pytest.mark.parametrize(
    ("item", "label"),
    [
        ("gang roof", "roof gang"),
        ("task certificate", "certificate, lump sum"),
        ("penalty site", "penalty, whole site"),
        ("bonus A1", "bonus, A1"),
        ("tent mobilisation", "tent mobilisation"),
    ],
)
def test_items_are_named_in_words(item: str, label: str) -> None:
    assert item_label(item) == label


def moved(name: str, mean: float, half: float) -> MoneyMoved:
    return MoneyMoved(name, PairedDifference(mean, mean - half, mean + half, 40, True, 0, 0, 0))


def test_where_the_money_goes_is_laid_out() -> None:
    items = tuple(moved(f"gang {name}", 1000.0 - 10.0 * place, 50.0) for place, name in enumerate("abcdefghi"))
    other = replace(
        compared("Other", AGAINST),
        items=items,
        causes=(moved("weather", -400.0, 30.0), moved("", 12.0, 1.0), moved("crane", -0.3, 1.0)),
    )
    table = money_table(STYLE, [compared("First", None), other])
    assert table is not None
    console = Console(width=100)
    with console.capture() as captured:
        console.print(table)
    lines = [re.sub(r"\s+", " ", line).strip() for line in captured.get().splitlines()]
    assert "a gang +$1,000 ± $50" in lines
    assert "2 others together +$1,850" in lines  # 930 and 920
    assert "charged to weather -$400 ± $30" in lines
    assert "charged to no cause +$12 ± $1" in lines
    assert "charged to the crane $0 ± $1" in lines


def test_where_no_money_moves_nothing_is_laid_out() -> None:
    assert money_table(STYLE, [compared("First", None), compared("Other", AGAINST)]) is None
