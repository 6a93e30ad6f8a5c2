"""When plant, road or trucks are lost: dates that are known, and days that luck picks.

Instants are worked out by hand; hour 0 is the midnight before Monday 1 March 2027.
"""

from __future__ import annotations

import math
from datetime import date

import pytest

from sitesim.chance import Exponential, Fixed, Luck
from sitesim.plan import Link, Outage
from sitesim.site.outages import Outages

MONDAY = date(2027, 3, 1).toordinal()
MORNING_AND_NOON = ((6.0, 10.0), (12.0, 13.0))


def outages(*known: Outage, run: int = 0, first: int = MONDAY) -> Outages:
    return Outages(known, Luck(1, run), first)


def on_tuesday(link: Link = Link.PLANT, hours: tuple[tuple[float, float], ...] = ((6.0, 10.0),)) -> Outage:
    return Outage("fair", link, frozenset({MONDAY + 1}), hours)


def by_chance(chance: float = 1.0, time: float = 2.0, name: str = "storm", link: Link = Link.ROAD) -> Outage:
    return Outage(name, link, frozenset(), MORNING_AND_NOON, chance, Fixed(time))


def test_without_outages_all_is_there() -> None:
    assert outages().restored(Link.ROAD, 31.0) == 31.0


@pytest.mark.parametrize(
    ("instant", "restored"), [(29.99, 29.99), (30.0, 34.0), (33.99, 34.0), (34.0, 34.0), (6.0, 6.0), (54.0, 54.0)]
)
def test_a_known_outage_lasts_from_its_first_instant_to_before_its_last(instant: float, restored: float) -> None:
    found = outages(on_tuesday())
    assert found.restored(Link.PLANT, instant) == restored
    assert found.restored(Link.ROAD, instant) == instant
    assert found.known(Link.PLANT, 1) == [(30.0, 34.0)]
    assert found.known(Link.PLANT, 2) == []


def test_outages_that_follow_one_another_last_to_the_end_of_the_last() -> None:
    found = outages(
        on_tuesday(hours=((6.0, 10.0), (10.0, 12.0))),
        on_tuesday(hours=((11.0, 24.0),)),
        Outage("strike", Link.PLANT, frozenset({MONDAY + 2}), ((0.0, 5.0),)),
    )
    assert found.restored(Link.PLANT, 30.0) == 53.0


def test_an_outage_by_chance_begins_within_its_hours_and_may_last_for_days() -> None:
    # On each day from a moment in five hours on, for 60 h: once it has begun it is never over, for the next begins.
    found = outages(by_chance(time=60.0))
    for day in range(20):
        ((begins, ends),) = found.spans(Link.ROAD, day)
        hour = begins - 24.0 * day
        assert 6.0 <= hour <= 10.0 or 12.0 <= hour <= 13.0
        assert ends == begins + 60.0


def test_an_outage_of_days_still_lasts_on_days_on_which_none_begins() -> None:
    # A chance of one in five days, for 100 h. Whatever the day asked first, the end is that of the latest begun before.
    found, asked_at_once = (outages(by_chance(chance=0.2, time=100.0)) for _ in range(2))
    spans = [span for day in range(60) for span in found.spans(Link.ROAD, day)]
    assert 3 <= len(spans) <= 25
    for hour in range(24 * 60 - 200):
        instant = until = hour + 0.5
        for begins, ends in spans:  # in the order of their beginnings
            if begins <= until < ends:
                until = ends
        assert found.restored(Link.ROAD, instant) == until
    late = spans[-1][0] + 50.0
    assert asked_at_once.restored(Link.ROAD, late) == found.restored(Link.ROAD, late)


def test_chance_is_a_chance_a_day() -> None:
    # Binomial: 4000 days at 0.15, three standard errors.
    found = outages(by_chance(chance=0.15))
    lost = sum(bool(found.spans(Link.ROAD, day)) for day in range(4000)) / 4000
    assert lost == pytest.approx(0.15, abs=3 * math.sqrt(0.15 * 0.85 / 4000))


def test_the_moment_is_drawn_evenly_from_the_hours() -> None:
    # Four of five hours lie before noon; mean 0.8 × 8 + 0.2 × 12.5 = 8.9. Variance: E[h²] = 0.8 × (64 + 16/12) +
    # 0.2 × (156.25 + 1/12) = 83.533, less 8.9² = 79.21: 4.323.
    found = outages(by_chance())
    hours = [found.spans(Link.ROAD, day)[0][0] - 24.0 * day for day in range(4000)]
    assert sum(hours) / 4000 == pytest.approx(8.9, abs=3 * math.sqrt(4.323 / 4000))
    assert sum(hour <= 10.0 for hour in hours) / 4000 == pytest.approx(0.8, abs=3 * math.sqrt(0.16 / 4000))


def test_the_hour_at_a_share_passes_over_what_lies_between() -> None:
    outage = by_chance()
    assert [outage.hour_at(share) for share in (0.0, 0.4, 0.8, 0.9, 1.0)] == [6.0, 8.0, 10.0, 12.5, 13.0]


def test_luck_goes_by_civil_day_and_name_and_by_nothing_else() -> None:
    alone = outages(by_chance(0.3))
    with_others = outages(on_tuesday(), by_chance(0.5, name="flood"), by_chance(0.3))
    later = outages(by_chance(0.3), first=MONDAY + 3)

    def storms(of: Outages, day: int) -> list[tuple[float, float]]:
        lost = of.spans(Link.ROAD, day)
        return [(begins - 24.0 * day, ends - begins) for begins, ends in lost]

    for day in range(3, 200):
        assert storms(later, day - 3) == storms(alone, day)
        assert set(storms(alone, day)) <= set(storms(with_others, day))
    assert any(storms(outages(by_chance(0.3), run=1), day) != storms(alone, day) for day in range(50))


def test_more_chance_never_takes_an_outage_away() -> None:
    seldom, often = outages(by_chance(0.1)), outages(by_chance(0.4))
    for day in range(300):
        assert set(seldom.spans(Link.ROAD, day)) <= set(often.spans(Link.ROAD, day))


def test_times_are_drawn_for_each_day() -> None:
    storm = Outage("storm", Link.ROAD, chance=1.0, time=Exponential(3.0))
    found = outages(storm)
    lengths = [ends - begins for day in range(2000) for begins, ends in found.spans(Link.ROAD, day)]
    assert len(set(lengths)) > 1500
    assert sum(lengths) / 2000 == pytest.approx(3.0, abs=3 * 3.0 / math.sqrt(2000))
