"""Plans are told apart by every value, and known again in another process."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from sitesim.plan import StartingState, digest_of
from sitesim.scenario import load

DEMO = Path(__file__).parents[2] / "scenarios" / "tern-quay.yaml"
_STATE = """
import sys
from dataclasses import replace
from sitesim.plan import StartingState, digest_of
from sitesim.scenario import load
print(digest_of(replace(load(sys.argv[1]).plan(), state=StartingState(done=frozenset("abcdefgh")))))
"""


def test_the_same_scenario_has_the_same_digest_whatever_the_order_of_sets_in_a_process() -> None:
    def digest(seed: str) -> str:
        done = subprocess.run(
            [sys.executable, "-c", _STATE, str(DEMO)],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        )
        return done.stdout.strip()

    assert (
        digest("1") == digest("2") == digest_of(replace(load(DEMO).plan(), state=StartingState(frozenset("abcdefgh"))))
    )


def test_any_changed_value_gives_another_digest() -> None:
    plan = load(DEMO).plan()
    record = plan.climate.record
    assert record is not None
    warmer = replace(record, temperature=np.asarray(record.temperature) + 0.01)
    changed = [
        plan,
        replace(plan, name="Tern Quai"),
        replace(plan, days=plan.days + 1),
        replace(plan, units=plan.units[:-1]),
        replace(plan, costs=replace(plan.costs, overhead=plan.costs.overhead + 0.01)),
        replace(plan, climate=replace(plan.climate, record=warmer)),
        replace(plan, nodes=(*plan.nodes[:-1], replace(plan.nodes[-1], not_before=1.0))),
        replace(plan, state=StartingState(done=frozenset({"A/slab"}))),
    ]
    assert len({digest_of(one) for one in changed}) == len(changed)
    assert digest_of(plan) == digest_of(load(DEMO).plan())


def test_a_value_that_cannot_be_told_from_another_is_refused() -> None:
    with pytest.raises(TypeError, match="cannot be told from another"):
        digest_of(replace(load(DEMO).plan(), name=object()))
