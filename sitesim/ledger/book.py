"""The ledger of one run."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

from sitesim.hours import Calendar
from sitesim.ledger.rows import (
    Coming,
    Departure,
    Entry,
    Hold,
    Layer,
    Load,
    Piece,
    PouredLoad,
    PrintedDay,
    Rejection,
    Remark,
    as_entry,
)
from sitesim.plan import Kind


@dataclass(slots=True)
class Concrete:
    """Where the concrete of a run went [m³]; whole drops, so that the balance holds with ``==``.

    ``past_agreed_life`` is that part of what was used which only a waiver allowed.
    """

    batched: float = 0.0
    in_place: float = 0.0
    joint_preparation: float = 0.0
    rejected: float = 0.0
    returned: float = 0.0
    priming: float = 0.0
    lost_to_blockages: float = 0.0
    washed_out: float = 0.0
    past_agreed_life: float = 0.0

    @property
    def accounted(self) -> float:
        """Everything that was batched, by where it ended [m³]."""
        return (
            self.in_place
            + self.joint_preparation
            + self.rejected
            + self.returned
            + self.priming
            + self.lost_to_blockages
            + self.washed_out
        )

    def add_use(self, of_day: Concrete) -> None:
        """Add where the concrete went that was used on a print day."""
        self.in_place += of_day.in_place
        self.joint_preparation += of_day.joint_preparation
        self.returned += of_day.returned
        self.priming += of_day.priming
        self.lost_to_blockages += of_day.lost_to_blockages
        self.washed_out += of_day.washed_out


@dataclass(slots=True)
class Counts:
    """What is counted rather than timed in a run; ``nozzle_hours`` and ``day_hours`` [h],
    and ``heated_hours`` [h] of tents at full power.

    ``days_short_of_concrete`` are print days that ended because no more concrete was to come;
    ``loads_called_off_by_weather``, those of the loads called off whose day was no go, or that were not needed any more
    since the weather had cut the day before short.
    """

    print_days: int = 0
    days_called_off: int = 0
    days_short_of_concrete: int = 0
    unplanned_joints: int = 0
    blockages_and_faults: int = 0
    loads: int = 0
    loads_called_off: int = 0
    loads_called_off_by_weather: int = 0
    inspections: int = 0
    failed_inspections: int = 0
    lost_visits: int = 0
    crane_calls: int = 0
    pour_breaks: int = 0
    heated_hours: float = 0.0
    nozzle_hours: float = 0.0
    day_hours: float = 0.0


@dataclass(slots=True)
class Visits:
    """What became of one inspector's visits in a run.

    ``seen`` are visits that came to finished work, of which ``failed`` found something to put right; ``lost`` those
    that came too early, and ``moved`` those put off in time; ``waited`` [h] is the time from finished work to its
    visit, of which ``waited_for_lost`` and ``waited_for_moved`` [h] was behind such a visit. As a witness they
    ``witnessed`` work or were ``missed``.
    """

    seen: int = 0
    failed: int = 0
    lost: int = 0
    moved: int = 0
    waited: float = 0.0
    waited_for_lost: float = 0.0
    waited_for_moved: float = 0.0
    witnessed: int = 0
    missed: int = 0


def _no_visits() -> defaultdict[int, Visits]:
    return defaultdict(Visits)


@dataclass(slots=True)
class Ledger:
    """All that a run writes down.

    ``ended`` gives for each node that is done its end [h]; ``comings``, how gangs came that were called; ``visits``, by
    inspector what became of theirs; ``layers``, ``printed``, ``departures``, ``rejections`` and ``diary`` are kept
    only where somebody will read them.
    """

    entries: list[Entry] = field(default_factory=list)
    loads: list[Load] = field(default_factory=list)
    poured: list[PouredLoad] = field(default_factory=list)
    ended: dict[int, float] = field(default_factory=dict)
    comings: list[Coming] = field(default_factory=list)
    concrete: Concrete = field(default_factory=Concrete)
    counts: Counts = field(default_factory=Counts)
    visits: defaultdict[int, Visits] = field(default_factory=_no_visits)
    layers: list[Layer] | None = None
    printed: list[PrintedDay] | None = None
    departures: list[Departure] | None = None
    rejections: list[Rejection] | None = None
    diary: list[Remark] | None = None

    def note(
        self,
        node: int,
        key: str,
        kind: Kind,
        building: int,
        front: tuple[float, int, tuple[Hold, ...]],
        start: float,
        end: float,
        units: tuple[int, ...] = (),
        hours: Calendar | None = None,
        shift: Calendar | None = None,
        pieces: tuple[Piece, ...] = (),
    ) -> Entry:
        """Write down an activity that has ended, and give it its serial.

        Parameters: ``front``, when it was ready [h], the serial of the entry that made it so, and its holds; the rest
        as in `Entry`.
        """
        entries = self.entries
        ready, by, holds = front
        entry = as_entry(
            (len(entries), node, key, kind, building, ready, by, holds, start, end, units, hours, shift, pieces)
        )
        entries.append(entry)
        return entry

    def keep_diary(self) -> None:
        """Write down from now on what only a reader of the run needs."""
        self.layers, self.printed, self.departures, self.rejections, self.diary = [], [], [], [], []

    def remark(self, instant: float, building: str, text: str, *values: object) -> None:
        """Write a line into the diary, if one is kept; ``text`` is formatted with ``values`` only then."""
        if self.diary is not None:
            self.diary.append(Remark(instant, building, text.format(*values)))
