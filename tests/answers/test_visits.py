"""Means of inspectors' visits by hand, runs without a call among them."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd
import pytest
from rigs import bare_plan

from sitesim.answers.visits import visits_by_inspector
from sitesim.chance import Fixed
from sitesim.ledger import COLUMNS
from sitesim.plan import Inspector

PLAN = replace(
    bare_plan((), (), ()),
    inspectors=tuple(Inspector(name, "site", Fixed(1.0), 4, 1.0) for name in ("building", "fire", "special")),
)


def test_runs_in_which_nobody_was_called_count_with_nothing() -> None:
    rows = [
        (0, "special", 3, 1, 1, 0, 72.0, 48.0, 0.0, 2, 1),
        (2, "special", 1, 0, 0, 1, 24.0, 0.0, 12.0, 0, 1),
        (1, "building", 4, 0, 0, 0, 96.0, 0.0, 0.0, 0, 0),
    ]
    visits = pd.DataFrame(rows, columns=list(COLUMNS["visits"]))
    building, special = visits_by_inspector(PLAN, visits, pd.Series([0, 1, 2, 3]))
    assert (building["inspector"], building["visits"]["value"], building["waited_days"]["value"]) == (
        "building",
        1.0,
        1.0,
    )
    assert {key: each["value"] for key, each in special.items() if key != "inspector"} == pytest.approx(
        {
            "visits": 1.0,
            "failed": 0.25,
            "lost": 0.25,
            "moved": 0.25,
            "witnessed": 0.5,
            "not_witnessed": 0.5,
            "waited_days": 1.0,
            "waited_for_lost_days": 0.5,
            "waited_for_moved_days": 0.125,
        }
    )


def test_a_folder_of_an_older_version_has_none() -> None:
    assert visits_by_inspector(PLAN, None, pd.Series([0])) == []
