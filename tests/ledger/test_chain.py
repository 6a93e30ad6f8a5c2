"""The chain behind an instant, on ledgers written by hand."""

from __future__ import annotations

from rigs import MONDAY, WEEKDAYS

from sitesim.hours import Calendar, everlasting
from sitesim.ledger import NOBODY, Account, Entry, Hold, Ledger, Piece
from sitesim.ledger.chain import stopped_inside
from sitesim.plan import Cause, Kind, State

WEEK = WEEKDAYS.over(MONDAY, 14)


class Pages(Ledger):
    """A ledger that is written by hand."""

    def write(
        self,
        key: str,
        span: tuple[float, float],
        ready: tuple[float, int] = (0.0, NOBODY),
        holds: tuple[Hold, ...] = (),
        kind: Kind = Kind.WORK,
        hours: Calendar | None = None,
        shift: Calendar | None = None,
        pieces: tuple[Piece, ...] = (),
    ) -> Entry:
        """Write an activity down; its gang is of no account here."""
        return self.note(0, key, kind, 0, (*ready, holds), *span, (), hours, shift, pieces)

    def behind(self, entry: Entry, until: float = 0.0) -> list[tuple[float, float, Cause, str]]:
        """Tell the chain behind an entry's end, earliest first, with the activity that each stretch lies in."""
        segments = list(Account(self.entries, []).back_from(entry, until))[::-1]
        return [(start, end, cause, self.entries[serial].key) for start, end, cause, serial in segments]


def test_one_activity_after_another() -> None:
    pages = Pages()
    slab = pages.write("slab", (0.0, 4.0), kind=Kind.CURE)
    beam = pages.write("beam", (4.0, 9.0), ready=(4.0, slab.serial))
    assert pages.behind(beam) == [(0.0, 4.0, Cause.CURE, "slab"), (4.0, 9.0, Cause.PREDECESSOR, "beam")]


def test_a_wait_for_hours_belongs_to_the_one_that_waits() -> None:
    pages = Pages()
    slab = pages.write("slab", (0.0, 4.0))
    lift = pages.write("lift", (7.0, 9.0), (4.0, slab.serial), (Hold(7.0, Cause.WEATHER, NOBODY),))
    assert pages.behind(lift) == [
        (0.0, 4.0, Cause.PREDECESSOR, "slab"),
        (4.0, 7.0, Cause.WEATHER, "lift"),
        (7.0, 9.0, Cause.PREDECESSOR, "lift"),
    ]


def test_a_wait_for_a_gang_goes_on_through_the_work_that_it_was_busy_with() -> None:
    # The roof of B was ready at 2, the gang until 6 at work on the roof of A, which was ready at 1.
    pages = Pages()
    wall_a = pages.write("wall A", (0.0, 1.0))
    wall_b = pages.write("wall B", (0.0, 2.0))
    roof_a = pages.write("roof A", (1.0, 6.0), (1.0, wall_a.serial))
    roof_b = pages.write("roof B", (6.0, 9.0), (2.0, wall_b.serial), (Hold(6.0, Cause.CREW, roof_a.serial),))
    assert pages.behind(roof_b) == [
        (0.0, 1.0, Cause.PREDECESSOR, "wall A"),
        (1.0, 6.0, Cause.CREW, "roof A"),
        (6.0, 9.0, Cause.PREDECESSOR, "roof B"),
    ]


def test_what_came_before_the_last_thing_waited_for_does_not_matter() -> None:
    # First the tent, busy until 5; then the gang, until 8; then the night, until 9. Only the gang and the night drive.
    pages = Pages()
    ready = pages.write("slab", (0.0, 1.0))
    tent = pages.write("tent down", (2.0, 5.0), kind=Kind.TENT)
    beam = pages.write("beam", (0.0, 8.0))
    holds = (
        Hold(5.0, Cause.TENT, tent.serial),
        Hold(8.0, Cause.CREW, beam.serial),
        Hold(9.0, Cause.CREW, NOBODY),
    )
    up = pages.write("tent up", (9.0, 12.0), (1.0, ready.serial), holds, kind=Kind.TENT)
    assert pages.behind(up) == [
        (0.0, 8.0, Cause.CREW, "beam"),
        (8.0, 9.0, Cause.CREW, "tent up"),
        (9.0, 12.0, Cause.TENT, "tent up"),
    ]


def test_an_activity_that_takes_no_time_leaves_no_segment() -> None:
    pages = Pages()
    slab = pages.write("slab", (0.0, 3.0))
    milestone = pages.write("ready", (3.0, 3.0), (3.0, slab.serial), kind=Kind.MILESTONE)
    beam = pages.write("beam", (3.0, 5.0), (3.0, milestone.serial))
    assert [segment[3] for segment in pages.behind(beam)] == ["slab", "beam"]


def test_pieces_keep_their_causes() -> None:
    pages = Pages()
    pieces = (
        Piece(0.0, 1.0, State.WORKING, None),
        Piece(1.0, 1.5, State.WAITING, Cause.CONCRETE),
        Piece(1.5, 2.0, State.DOWN, Cause.BREAKDOWN),
        Piece(2.0, 3.0, State.WORKING, None),
    )
    day = pages.write("print day", (0.0, 3.0), kind=Kind.PRINTING, pieces=pieces)
    assert [segment[:3] for segment in pages.behind(day)] == [
        (0.0, 1.0, Cause.PRINTER),
        (1.0, 1.5, Cause.CONCRETE),
        (1.5, 2.0, Cause.BREAKDOWN),
        (2.0, 3.0, Cause.PRINTER),
    ]


def test_the_walk_may_end_anywhere() -> None:
    pages = Pages()
    slab = pages.write("slab", (0.0, 4.0), kind=Kind.CURE)
    beam = pages.write("beam", (6.0, 9.0), (4.0, slab.serial), (Hold(6.0, Cause.CREW, NOBODY),))
    whole = pages.behind(beam)
    for until in (0.0, 1.0, 4.0, 5.0, 6.0, 8.5):
        cut = [(max(start, until), end, cause, key) for start, end, cause, key in whole if end > until]
        assert pages.behind(beam, until) == cut
    assert pages.behind(beam, 9.0) == []
    before = [segment[:3] for segment in Account(pages.entries, []).before(beam, 1.0)]
    assert before == [(4.0, 6.0, Cause.CREW), (1.0, 4.0, Cause.CURE)]


def test_a_long_chain_needs_no_recursion() -> None:
    pages = Pages()
    last = pages.write("step 0", (0.0, 1.0))
    for step in range(1, 3000):
        last = pages.write(f"step {step}", (float(step), step + 1.0), (float(step), last.serial))
    assert len(pages.behind(last)) == 3000


def test_shift_hours_that_weather_shuts_are_lost_and_nights_go_with_what_they_follow() -> None:
    # Monday from seven to nine and Tuesday from noon to three are open: 5 h of work.
    hours = Calendar([7.0, 36.0], [9.0, 39.0])
    entry = Entry(0, 0, "paint", Kind.WORK, 0, 7.0, NOBODY, (), 7.0, 39.0, (), hours, WEEK, ())
    assert stopped_inside(entry) == [(7.0, 9.0, None), (9.0, 36.0, Cause.WEATHER), (36.0, 39.0, None)]


def test_work_that_lost_nothing_is_one_stretch() -> None:
    entry = Entry(
        0, 0, "paint", Kind.WORK, 0, 7.0, NOBODY, (), 7.0, 39.0, (), Calendar([7.0, 31.0], [15.0, 39.0]), WEEK, ()
    )
    assert stopped_inside(entry) == [(7.0, 39.0, None)]
    forever = everlasting(100.0)
    passing = Entry(0, 0, "cure", Kind.CURE, 0, 0.0, NOBODY, (), 0.0, 72.0, (), None, None, ())
    assert stopped_inside(passing) == [(0.0, 72.0, None)]
    assert forever.total == 100.0
