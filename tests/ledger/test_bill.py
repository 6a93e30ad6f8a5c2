"""A bill in whole cents adds up however it is grouped."""

from __future__ import annotations

from random import Random

import pytest

from sitesim.ledger.bill import Bill
from sitesim.plan import Cause, SpentOn

WORK, HIRE = (SpentOn.WORK, None), (SpentOn.HIRE, None)


def test_lines_of_one_place_and_item_are_one_line() -> None:
    bill = Bill()
    bill.add(SpentOn.WAITING, Cause.WEATHER, "gang roof", 10.004)
    bill.add(SpentOn.WAITING, Cause.WEATHER, "gang roof", 0.25)
    bill.add(SpentOn.WORK, None, "gang roof", 3.0)
    bill.add(SpentOn.WORK, None, "nothing", 0.004)
    assert list(bill.lines()) == [
        (SpentOn.WAITING, Cause.WEATHER, "gang roof", 1025),
        (SpentOn.WORK, None, "gang roof", 300),
    ]
    assert bill.items() == {"gang roof": 1325}
    assert bill.causes() == {Cause.WEATHER: 1025, None: 300}
    assert bill.total == 1325


def test_three_equal_shares_of_a_dollar_are_a_dollar() -> None:
    bill = Bill()
    shares = {(SpentOn.OVERHEAD, cause): 2.0 for cause in (Cause.WEATHER, Cause.CURE, Cause.CREW)}
    bill.share_out("site overhead", 1.0, shares, WORK)
    assert [cents for *_, cents in bill.lines()] == [34, 33, 33]


def test_the_cent_goes_to_whom_rounding_costs_most() -> None:
    bill = Bill()
    # 10.00 in the ratio 1 : 2 : 4: 1.4286, 2.8571, 5.7143; the two cents that are left belong to .71 and .86.
    shares = {(SpentOn.HIRE, Cause.CREW): 1.0, (SpentOn.HIRE, Cause.CURE): 2.0, (SpentOn.HIRE, Cause.TENT): 4.0}
    bill.share_out("tent hire", 10.0, shares, HIRE)
    assert {cause: cents for _, cause, _, cents in bill.lines()} == {
        Cause.CREW: 143,
        Cause.CURE: 286,
        Cause.TENT: 571,
    }


def test_without_shares_the_rest_bears_all() -> None:
    bill = Bill()
    bill.share_out("mixer", 12.34, {}, HIRE)
    bill.share_out("mixer", 1.0, {(SpentOn.HIRE, Cause.CREW): 0.0}, HIRE)
    assert list(bill.lines()) == [(SpentOn.HIRE, None, "mixer", 1334)]


@pytest.mark.parametrize("number", range(50))
def test_whatever_the_shares_they_add_up_to_the_whole(number: int) -> None:
    dice = Random(f"shares {number}")
    causes = dice.sample(list(Cause), dice.randint(1, len(Cause)))
    shares = {(SpentOn.HIRE, cause): dice.choice((0.0, dice.random(), 1000 * dice.random())) for cause in causes}
    amount = dice.uniform(0.0, 1e6)
    bill = Bill()
    bill.share_out("hire", amount, shares, HIRE)
    assert bill.total == round(100 * amount)
    whole = sum(shares.values())
    for _, cause, _, cents in bill.lines():
        assert cents == pytest.approx(
            100 * amount * shares.get((SpentOn.HIRE, cause), 0.0) / (whole or 1), abs=1.0
        ) or (not whole)
