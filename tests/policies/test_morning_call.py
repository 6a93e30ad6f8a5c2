"""The morning's call: what of an order comes, by what really stands and what can still be changed. By hand."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import given
from hypothesis import strategies as st

from sitesim.policies import AdjustTheOrder, ConfirmTheOrder, Delivery, MorningView

ORDERED = (Delivery(2.5, 7.0), Delivery(2.5, 9.0), Delivery(2.0, 11.0))


def view(
    wanted: Sequence[Delivery], settled: Sequence[bool] = (False, False, False), soonest: float = 6.0
) -> MorningView:
    return MorningView(ORDERED, settled, wanted, soonest)


def test_an_order_that_is_confirmed_comes_as_it_was_placed() -> None:
    assert ConfirmTheOrder().call(view([Delivery(1.0, 7.0)])) == ORDERED


def test_what_is_not_wanted_is_called_off_and_the_last_load_made_smaller() -> None:
    wanted = [Delivery(2.5, 7.0), Delivery(1.5, 9.0)]
    assert AdjustTheOrder().call(view(wanted)) == (Delivery(2.5, 7.0), Delivery(1.5, 9.0))


def test_what_is_settled_comes_as_it_was_ordered() -> None:
    wanted = [Delivery(1.0, 7.0)]
    assert AdjustTheOrder().call(view(wanted, (True, False, False))) == (Delivery(2.5, 7.0),)
    assert AdjustTheOrder().call(view(wanted, (True, True, False))) == ORDERED[:2]


def test_no_more_comes_than_was_ordered() -> None:
    wanted = [Delivery(3.0, 7.0 + 2.0 * i) for i in range(5)]
    assert AdjustTheOrder().call(view(wanted)) == ORDERED


def test_a_load_is_put_off_as_far_as_wanted_and_sooner_only_as_far_as_the_way_allows() -> None:
    wanted = [Delivery(2.5, 8.0), Delivery(2.5, 7.5), Delivery(2.0, 10.0)]
    assert AdjustTheOrder().call(view(wanted, soonest=8.5)) == (
        Delivery(2.5, 8.0),
        Delivery(2.5, 8.5),
        Delivery(2.0, 10.0),
    )


loads = st.lists(st.tuples(st.integers(1, 8), st.integers(0, 40)), max_size=5).map(
    lambda found: tuple(Delivery(volume * 0.5, 6.0 + hours / 4) for volume, hours in sorted(found, key=lambda x: x[1]))
)


@given(loads, loads, st.integers(0, 5))
def test_never_more_than_ordered_and_never_less_than_is_settled(
    ordered: tuple[Delivery, ...], wanted: tuple[Delivery, ...], count: int
) -> None:
    settled = [place < count for place in range(len(ordered))]
    kept = AdjustTheOrder().call(MorningView(ordered, settled, wanted, 7.0))
    assert len(kept) <= len(ordered)
    assert all(mine.volume <= before.volume for before, mine in zip(ordered, kept, strict=False))
    assert kept[:count] == ordered[:count]
