from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from numpy.typing import NDArray

from sitesim.chance import Luck, stream
from sitesim.plan import Climate
from sitesim.plan.climate import HourlyRecord
from sitesim.weather import (
    BlockCalendar,
    DailyRecord,
    Uniforms,
    YearCalendar,
    day_indices,
    days_of_weather,
    make_hourly,
)

BLOCK, WINDOW = 10, 15
START = date(2027, 3, 1).toordinal()


def of_run(run: int) -> Uniforms:
    luck, key = Luck(seed=11, run=run), np.array([stream("weather blocks")], dtype=np.uint64)
    return lambda blocks: luck.uniforms(key, blocks)


def always(value: float) -> Uniforms:
    return lambda blocks: np.full(len(blocks), value)


def dates(record: HourlyRecord, rows: NDArray[np.int64]) -> list[date]:
    return [date.fromordinal(int(record.days[row])) for row in rows]


def choice(record: HourlyRecord, year: int, offset: int, window: int) -> float:
    """Give a uniform number in the middle of those that draw this year of the record and this offset."""
    width = 2 * window + 1
    return (year * width + offset + window + 0.5) / (record.years * width)


def by_hand(record: HourlyRecord, first: int, days: int, block: int, window: int, uniforms: Uniforms) -> list[int]:
    """Draw day by day with dates: the block's first day in the drawn year, moved, then counted on."""
    row_of = {date.fromordinal(int(ordinal)): row for row, ordinal in enumerate(record.days)}
    first_year = date.fromordinal(int(record.days[0])).year  # these records begin on 1 January
    rows = []
    for civil in range(first, first + days):
        number = civil // block
        drawn = int(uniforms(np.array([number]))[0] * record.years * (2 * window + 1))
        year, offset = first_year + drawn // (2 * window + 1), drawn % (2 * window + 1) - window
        begin = date.fromordinal(number * block)
        try:
            there = begin.replace(year=year)
        except ValueError:
            there = date(year, 3, 1)
        rows.append((row_of[there] + offset + civil - number * block) % len(record.days))
    return rows


@pytest.mark.parametrize(("block", "window"), [(1, 0), (1, 15), (7, 3), (10, 15), (30, 30)])
def test_agrees_with_drawing_day_by_day(seattle_hourly: HourlyRecord, block: int, window: int) -> None:
    for run in range(3):
        drawn = day_indices(START, 1100, seattle_hourly, block, window, of_run(run))
        assert drawn.tolist() == by_hand(seattle_hourly, START, 1100, block, window, of_run(run))


def test_a_civil_day_has_its_weather_whatever_the_start(seattle_hourly: HourlyRecord) -> None:
    early = day_indices(START, 900, seattle_hourly, BLOCK, WINDOW, of_run(4))
    for shift in (1, 9, 10, 137, 365):
        late = day_indices(START + shift, 900, seattle_hourly, BLOCK, WINDOW, of_run(4))
        assert (late[: 900 - shift] == early[shift:]).all()


def test_a_block_is_drawn_for_itself(seattle_hourly: HourlyRecord) -> None:
    calendar = BlockCalendar(seattle_hourly, START, 900, BLOCK, WINDOW)
    chosen = START // BLOCK + 40

    def with_one_other(blocks: NDArray[np.int64]) -> NDArray[np.float64]:
        usual = of_run(5)(blocks)
        return np.where(blocks == chosen, 1.0 - usual, usual)

    usual, other = calendar.draw(of_run(5)), calendar.draw(with_one_other)
    changed = np.flatnonzero(usual != other) + START
    assert changed.tolist() == list(range(chosen * BLOCK, (chosen + 1) * BLOCK))


def test_a_calendar_drawn_again_gives_the_same(seattle_hourly: HourlyRecord) -> None:
    calendar = BlockCalendar(seattle_hourly, START, 900, BLOCK, WINDOW)
    first = calendar.draw(of_run(1))
    calendar.draw(of_run(2))
    assert (calendar.draw(of_run(1)) == first).all()
    assert (calendar.draw(of_run(2)) != first).any()


def test_without_a_window_each_day_keeps_its_month_and_day(seattle_hourly: HourlyRecord) -> None:
    drawn = dates(seattle_hourly, day_indices(START, 300, seattle_hourly, 1, 0, of_run(0)))
    civil = [date.fromordinal(START + day) for day in range(300)]
    assert [(day.month, day.day) for day in drawn] == [(day.month, day.day) for day in civil]
    assert {day.year for day in drawn} == {2012, 2013, 2014, 2015}


def test_every_drawn_day_is_in_season(seattle_hourly: HourlyRecord) -> None:
    for run in range(20):
        drawn = dates(seattle_hourly, day_indices(START, 900, seattle_hourly, BLOCK, WINDOW, of_run(run)))
        for day, there in enumerate(drawn):
            civil = (START + day - date(2026, 1, 1).toordinal()) % 365.25
            apart = abs(there.timetuple().tm_yday - 1 - civil)
            # The window, and two days at most for leap days on either side.
            assert min(apart, 365.25 - apart) <= WINDOW + 2


def test_a_leap_day_falls_on_the_first_of_march_where_there_is_none(seattle_hourly: HourlyRecord) -> None:
    leap_day = date(2028, 2, 29).toordinal()
    for year, expected in enumerate([date(2012, 2, 29), date(2013, 3, 1), date(2014, 3, 1), date(2015, 3, 1)]):
        drawn = day_indices(leap_day, 1, seattle_hourly, 1, 0, always(choice(seattle_hourly, year, 0, 0)))
        assert dates(seattle_hourly, drawn) == [expected]


def test_past_either_end_the_record_goes_on_in_season(seattle_hourly: HourlyRecord) -> None:
    new_year, last = date(2027, 1, 1).toordinal(), date(2027, 12, 31).toordinal()
    back = day_indices(new_year, 1, seattle_hourly, 1, 3, always(choice(seattle_hourly, 0, -3, 3)))
    on = day_indices(last, 1, seattle_hourly, 1, 3, always(choice(seattle_hourly, 3, 3, 3)))
    assert dates(seattle_hourly, back) == [date(2015, 12, 29)]
    assert dates(seattle_hourly, on) == [date(2012, 1, 3)]


def test_the_extreme_uniforms_draw_the_first_and_the_last_choice(seattle_hourly: HourlyRecord) -> None:
    day = date(2027, 6, 15).toordinal()
    for value, expected in ((2.0**-53, date(2012, 5, 31)), (1.0 - 2.0**-53, date(2015, 6, 30))):
        drawn = day_indices(day, 1, seattle_hourly, 1, WINDOW, always(value))
        assert dates(seattle_hourly, drawn) == [expected]


def test_a_record_may_begin_in_any_month() -> None:
    first = date(2019, 3, 1)
    ordinals = np.arange(first.toordinal(), date(2021, 3, 1).toordinal(), dtype=np.int64)
    hours = np.zeros((len(ordinals), 24))
    record = HourlyRecord("from March", "", ordinals, 2, hours, hours, hours)
    for day, year, expected in (
        (date(2027, 2, 10), 0, date(2020, 2, 10)),
        (date(2027, 2, 10), 1, date(2021, 2, 10)),
        (date(2027, 3, 1), 1, date(2020, 3, 1)),
        (date(2028, 2, 29), 0, date(2020, 2, 29)),
        (date(2028, 2, 29), 1, date(2019, 3, 1)),  # the day after 28 February 2021 is the ring's first
    ):
        drawn = day_indices(day.toordinal(), 1, record, 1, 0, always(choice(record, year, 0, 0)))
        assert dates(record, drawn) == [expected]


@pytest.mark.parametrize(("days", "block", "window"), [(0, 10, 15), (900, 0, 15), (900, 10, -1)])
def test_a_span_that_is_none_is_refused(seattle_hourly: HourlyRecord, days: int, block: int, window: int) -> None:
    with pytest.raises(ValueError, match="must be 1 or more"):
        BlockCalendar(seattle_hourly, START, days, block, window)


# What resampling keeps and loses: statistics of 400 runs of one civil year. The tolerance is three standard
# errors of the runs.
RUNS = 400
FIRST = date(2027, 1, 1)
MONTHS = np.array([(FIRST + timedelta(days=day)).month for day in range(365)])
SEASONS = {"winter": (12, 1, 2), "spring": (3, 4, 5), "summer": (6, 7, 8), "autumn": (9, 10, 11)}


@pytest.fixture(scope="module")
def drawn(seattle_hourly: HourlyRecord) -> NDArray[np.int64]:
    calendar = BlockCalendar(seattle_hourly, FIRST.toordinal(), 365, BLOCK, WINDOW)
    return np.array([calendar.draw(of_run(run)) for run in range(RUNS)])


def in_season(record: HourlyRecord, season: str) -> NDArray[np.bool_]:
    return np.isin([date.fromordinal(int(day)).month for day in record.days], SEASONS[season])


@pytest.mark.parametrize("season", SEASONS)
@pytest.mark.parametrize("quantity", ["wet share", "temperature", "wind"])
def test_resampling_keeps_the_means_of_each_season(
    seattle_hourly: HourlyRecord, drawn: NDArray[np.int64], season: str, quantity: str
) -> None:
    daily = {
        "wet share": (seattle_hourly.rain.sum(axis=1) > 0).astype(float),
        "temperature": seattle_hourly.temperature.mean(axis=1),
        "wind": seattle_hourly.wind.mean(axis=1),
    }[quantity]
    # A window of 15 days to either side shows each date as the record's mean over 31 days about it, and no
    # more is lost: seasons are that much less apart.
    about = np.convolve(np.concatenate([daily[-WINDOW:], daily, daily[:WINDOW]]), np.full(31, 1 / 31), mode="valid")
    expected = about[in_season(seattle_hourly, season)].mean()
    by_run = daily[drawn][:, np.isin(MONTHS, SEASONS[season])].mean(axis=1)
    standard_error = by_run.std(ddof=1) / RUNS**0.5
    assert by_run.mean() == pytest.approx(expected, abs=3 * standard_error)


def test_a_year_of_draws_has_the_means_of_the_record(seattle_hourly: HourlyRecord, drawn: NDArray[np.int64]) -> None:
    for values in seattle_hourly.quantities().values():
        daily = values.mean(axis=1)
        by_run = daily[drawn].mean(axis=1)
        assert by_run.mean() == pytest.approx(daily.mean(), abs=3 * by_run.std(ddof=1) / RUNS**0.5)


def spells(wet: NDArray[np.bool_]) -> int:
    return int(np.count_nonzero(wet & ~np.concatenate([[False], wet[:-1]])))


def test_resampling_keeps_wet_spells_but_for_the_seams(seattle_hourly: HourlyRecord, drawn: NDArray[np.int64]) -> None:
    # The mean wet spell is wet days ÷ spells. A seam every ten days joins two days that know nothing of each
    # other: P(W|W) there falls to the share of wet days, so that one day in ten loses its memory and spells
    # get shorter.
    wet = seattle_hourly.rain.sum(axis=1) > 0
    own = np.count_nonzero(wet) / spells(wet)
    stay, share = 1.0 - 1.0 / own, wet.mean()
    expected = 1.0 / (1.0 - ((BLOCK - 1) * stay + share) / BLOCK)
    by_run = np.array([np.count_nonzero(wet[rows]) / spells(wet[rows]) for rows in drawn])
    assert by_run.mean() == pytest.approx(expected, rel=0.05)
    assert by_run.mean() < own


# Whole years


def years_of(record: HourlyRecord, rows: NDArray[np.int64]) -> list[int]:
    return [day.year for day in dates(record, rows)]


def test_a_year_of_the_record_is_replayed_day_by_day(seattle_hourly: HourlyRecord) -> None:
    first = date(2027, 3, 1).toordinal()
    for number in range(4):
        calendar = YearCalendar(seattle_hourly, first, 306, (number,))
        drawn = dates(seattle_hourly, calendar.draw(of_run(number)))
        wanted = [date.fromordinal(first + day).replace(year=2012 + number) for day in range(306)]
        assert drawn == wanted


def test_one_year_comes_again_and_again(seattle_hourly: HourlyRecord) -> None:
    drawn = YearCalendar(seattle_hourly, date(2027, 3, 1).toordinal(), 1100, (1,)).draw(of_run(0))
    assert set(years_of(seattle_hourly, drawn)) == {2013}


def test_drawn_years_follow_one_another_as_in_the_record(seattle_hourly: HourlyRecord) -> None:
    calendar = YearCalendar(seattle_hourly, date(2027, 7, 1).toordinal(), 1500, range(4))
    firsts = set()
    for run in range(40):
        years = years_of(seattle_hourly, calendar.draw(of_run(run)))
        firsts.add(years[0])
        # 184 days of 2027, then 366, 365, 365 and the rest.
        in_turn = [years[0], years[184], years[184 + 366], years[184 + 731], years[-1]]
        assert in_turn == [2012 + (years[0] - 2012 + step) % 4 for step in range(5)]
    assert firsts == {2012, 2013, 2014, 2015}


def test_a_replayed_day_belongs_to_its_civil_date(seattle_hourly: HourlyRecord) -> None:
    early = YearCalendar(seattle_hourly, START, 900, range(4)).draw(of_run(4))
    for shift in (1, 30, 400):
        late = YearCalendar(seattle_hourly, START + shift, 900 - shift, range(4)).draw(of_run(4))
        assert (late == early[shift:]).all()


def test_a_leap_day_has_weather_in_every_year(seattle_hourly: HourlyRecord) -> None:
    leap_day = date(2028, 2, 29).toordinal()
    drawn = [
        dates(seattle_hourly, YearCalendar(seattle_hourly, leap_day, 1, (year,)).draw(of_run(0)))[0]
        for year in range(4)
    ]
    assert drawn == [date(2012, 2, 29), date(2013, 3, 1), date(2014, 3, 1), date(2015, 3, 1)]


def test_a_record_that_begins_in_spring_keeps_its_winters_whole(seattle: DailyRecord) -> None:
    spring = date(2012, 3, 1).toordinal() - seattle.first_day.toordinal()
    cut = replace(
        seattle,
        first_day=date(2012, 3, 1),
        **{name: getattr(seattle, name)[spring:] for name in ("precipitation", "high", "low", "wind")},
    )
    record = make_hourly(cut, 47.45)
    assert record.years == 3
    drawn = dates(record, YearCalendar(record, date(2027, 12, 1).toordinal(), 90, (0,)).draw(of_run(0)))
    assert (drawn[0], drawn[-1]) == (date(2012, 12, 1), date(2013, 2, 28))


def test_years_that_are_not_there_are_refused(seattle_hourly: HourlyRecord) -> None:
    for years in ((4,), (-1,), ()):
        with pytest.raises(ValueError, match="some of 0 to 3"):
            YearCalendar(seattle_hourly, START, 10, years)


def test_a_climate_says_which_is_drawn(seattle_hourly: HourlyRecord) -> None:
    climate = Climate(seattle_hourly, {}, 1.5, BLOCK, WINDOW, 1.0)
    assert isinstance(days_of_weather(climate, seattle_hourly, START, 10), BlockCalendar)
    replayed = replace(climate, replayed=(2,))
    drawn = days_of_weather(replayed, seattle_hourly, START, 10).draw(of_run(0))
    assert set(years_of(seattle_hourly, drawn)) == {2014}


def apart(record: HourlyRecord, first: int, days: int, uniforms: Uniforms) -> NDArray[np.int64]:
    """Draw blocks of which none shares a day of the record with one near enough to do so.

    Every fourth block is drawn freely, then those between them, each from what is left; so a block still belongs to
    its civil date.
    """
    numbers = np.arange(first // BLOCK, (first + days - 1) // BLOCK + 1)
    free = uniforms(numbers)
    ring = len(record.days)
    choices = [BlockCalendar(record, int(number) * BLOCK, 1, BLOCK, WINDOW) for number in numbers]
    width = record.years * (2 * WINDOW + 1)
    begins = np.array(
        [
            [int(each.draw(lambda blocks, place=place: np.array([(place + 0.5) / width]))[0]) for place in range(width)]
            for each in choices
        ]
    )
    drawn = np.full(len(numbers), -1)
    for colour in range(4):
        for place in np.flatnonzero(numbers % 4 == colour):
            near = [at for at in range(max(0, place - 3), min(len(numbers), place + 4)) if drawn[at] >= 0]
            gaps = [np.abs((begins[place] - drawn[at] + ring // 2) % ring - ring // 2) for at in near]
            left = begins[place][np.all([gap >= BLOCK for gap in gaps], axis=0)] if near else begins[place]
            drawn[place] = left[int(free[place] * len(left))]
    civil = np.arange(first, first + days)
    return (drawn[civil // BLOCK - numbers[0]] + civil % BLOCK) % ring


def test_blocks_that_may_come_again_spread_months_more_as_the_record_does(seattle_hourly: HourlyRecord) -> None:
    """Why a block may come again: months as drawn differ less than recorded ones as it is, and would still less.

    A bootstrap draws with replacement (Efron 1979; in blocks Kuensch 1989, from memory); without it the mean of a
    sample spreads by less than it should, here by about as much as days come again.
    """
    rain = seattle_hourly.rain.sum(axis=1)
    days, runs = 92, 400  # November to January
    first = date(2027, 11, 1).toordinal()
    calendar = BlockCalendar(seattle_hourly, first, days, BLOCK, WINDOW)
    usual = np.array([calendar.draw(of_run(run)) for run in range(runs)])
    never = np.array([apart(seattle_hourly, first, days, of_run(run)) for run in range(runs)])
    again = [days - len(np.unique(rows)) for rows in usual]
    assert all(days == len(np.unique(rows)) for rows in never)
    assert 0.04 * days < np.mean(again) < 0.12 * days
    with_replacement, without = (rain[rows].sum(axis=1) for rows in (usual, never))
    # The standard error of either mean is about 6 mm, of the ratio of the two spreads about 5 %.
    assert without.mean() == pytest.approx(with_replacement.mean(), abs=25.0)
    assert without.std() < with_replacement.std()
    seasons = [rain[first_day : first_day + days].sum() for first_day in (305, 305 + 365, 305 + 730)]
    assert with_replacement.std() < np.std(seasons, ddof=1)
