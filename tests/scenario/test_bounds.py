"""Values that nobody would believe, and what would be right."""

from __future__ import annotations

import pytest
from cases import DEMO, lines_of

HOPPER = "supply.holding_hopper={capacity: 4 yd^3, empties_in: 15 min"


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (
            "supply.refused=100 %",
            "supply.refused: 100 % of all loads are refused; more than 50 % and a plant",
        ),
        ("printer.meal={after: 40 h, time: 30 min}", "printer.meal.after: 40 h is no sooner than the end of a day"),
        ("concrete.retarder=100", "concrete.retarder: 100 is too much, it should be at most 5"),
        ("concrete.waiver={until: 3000 min, by: both}", "concrete.waiver.until: 3000 min is not believed"),
        (f"{HOPPER}, refill_at: 4 yd^3}}", "refill_at: with 4 yd^3 left a load (3 yd^3) does not fit into 4 yd^3"),
        (f"{HOPPER}, life: 50}}", "supply.holding_hopper.life: 50 is too much, it should be at most 5"),
    ],
)
def test_what_nobody_would_believe_is_told(change: str, fault: str) -> None:
    (line,) = lines_of(DEMO, change)
    assert fault in line


def test_the_printer_places_nothing_once_it_has_left() -> None:
    gone = ("relocation.gantry_leaves=walls", "relocation.tent_leaves=walls")
    assert not any("the printer has left" in line for line in lines_of(DEMO, *gone, "supply.refused=90 %"))
    lines = lines_of(DEMO, *gone, "wall.tasks.beam.pour.by=printer")
    assert any("wall.tasks.beam.pour.by: the printer has left by then, after walls" in line for line in lines)


def test_a_bucket_does_not_come_in_under_the_tent() -> None:
    lines = lines_of(DEMO, "wall.tasks.beam.pour.by=bucket", "wall.tasks.beam.crane=true")
    assert any("a bucket cannot come in under the raised tent, which leaves after cure" in line for line in lines)


def test_a_mixer_that_throws_most_away_is_told() -> None:
    (line,) = lines_of(DEMO.parent / "tern-quay-site-mixing.yaml", "supply.batch_fails=90 %")
    assert "supply.batch_fails: 90 % of all batches are thrown away" in line
