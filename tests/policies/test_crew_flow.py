"""How late a gang begins that is kept running."""

from __future__ import annotations

import pytest

from sitesim.policies import KeptRunning, Stint


@pytest.mark.parametrize(
    ("stints", "delay"),
    [
        ([], 0.0),
        ([Stint(10.0, 4.0)], 0.0),
        ([Stint(10.0, 4.0), Stint(12.0, 4.0)], 0.0),  # the second is ready before the first is done
        ([Stint(10.0, 4.0), Stint(20.0, 4.0)], 6.0),
        ([Stint(10.0, 4.0), Stint(20.0, 4.0), Stint(22.0, 4.0)], 6.0),  # 22 − 8 is no later than 20 − 4
        ([Stint(10.0, 4.0), Stint(20.0, 4.0), Stint(30.0, 4.0)], 12.0),
        ([Stint(10.0, 4.0), Stint(20.0, 4.0, returns=True), Stint(22.0, 4.0)], 4.0),  # a return is work, no reason
    ],
)
def test_the_buffer_brings_the_work_together(stints: list[Stint], delay: float) -> None:
    assert KeptRunning().delay(10.0, stints) == delay


def test_work_that_others_do_first_counts_from_when_it_was_ready() -> None:
    # The gang's own first piece comes four hours after work that it could have done.
    assert KeptRunning().delay(6.0, [Stint(10.0, 4.0)]) == 4.0


def test_a_delay_that_is_given_is_kept() -> None:
    assert KeptRunning(40.0).delay(10.0, [Stint(10.0, 4.0), Stint(99.0, 4.0)]) == 40.0
