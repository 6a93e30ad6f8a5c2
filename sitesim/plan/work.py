"""Tasks and the nodes of the network: every step of every building's story, with what it needs."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import inf

from sitesim.chance import Distribution, stream
from sitesim.plan.pours import Pour
from sitesim.plan.ripening import Ripening
from sitesim.plan.terms import Kind, UnitKind
from sitesim.policies import AtNotice, KeptRunning


@dataclass(frozen=True, slots=True)
class Learning:
    """Crawford unit learning: each doubling of units multiplies the duration by ``rate``, down to ``floor``."""

    rate: float = 1.0
    floor: float = 0.0


@dataclass(frozen=True, slots=True)
class Inspection:
    """A hold point after a task, or a witness point during it.

    Parameters: ``inspector``, its index in the plan; ``fails``, chance that the first visit fails, 0 to 1; ``rework``
    [h] by the gangs of the task after a failed visit; ``learning``, by which that chance falls with each repetition of
    the task by the same gang. A ``witness`` is told beforehand, follows the invitation with the chance ``comes``, and
    nothing waits for them.
    """

    inspector: int
    fails: float
    rework: Distribution
    learning: Learning = Learning()
    witness: bool = False
    comes: float = 1.0


@dataclass(frozen=True, slots=True)
class Inspector:
    """Somebody who comes by appointment.

    Parameters: ``hours``, the calendar of appointment days; ``notice`` [h of that calendar] between booking and the
    day of the visit; ``visits_a_day``, how many visits fit into a day; ``visit`` [h], how long one takes;
    ``at_any_hour``, whether the hour of the day is left to chance; if not they come in the middle of it;
    ``moved_until`` [clock h] before a visit it can still be moved to another day, or when the inspector was last there
    by then; never where infinite.
    """

    name: str
    hours: str
    notice: Distribution
    visits_a_day: int
    visit: float
    at_any_hour: bool = True
    moved_until: float = inf


@dataclass(frozen=True, slots=True)
class Task:
    """What is done, by whom, for how long and under which limits; the same for every home or building.

    Parameters: ``rank``, its place in the priority within a building; ``needs``, one tuple of unit indices for each
    gang or crane needed, any one of which serves; ``duration`` [h] of open hours; ``limits``, the kind of work whose
    weather limits hold, or empty; ``hours``, the calendar where no gang gives one; ``splittable`` false for a lift or a
    pour that has to fit into one window; ``shares_fortune``, whether site and building factors apply; ``pour``, the
    concrete that it places, whose deliveries may make it longer; ``ripening``, what has to be reached besides its time;
    ``pace`` [h/m], what each metre of the way from the slab before adds; ``price`` [currency], a lump sum each time.
    """

    name: str
    kind: Kind
    rank: int
    needs: tuple[tuple[int, ...], ...]
    duration: Distribution
    hours: str
    limits: str = ""
    splittable: bool = True
    shares_fortune: bool = True
    learning: Learning = Learning()
    inspection: Inspection | None = None
    pour: Pour | None = None
    ripening: Ripening | None = None
    pace: float = 0.0
    price: float = 0.0


@dataclass(frozen=True, slots=True)
class Node:
    """One task at one place: a step of the network.

    Parameters: ``index``, its place in the plan; ``building``, the building's index or -1 for the site's own;
    ``home``, a home's name or empty; ``after``, indices of the nodes that must be done first; ``not_before`` [h];
    ``told``, true for a step that a building's story performs rather than the network.
    """

    index: int
    key: str
    task: Task
    building: int
    home: str
    after: tuple[int, ...]
    not_before: float = 0.0
    milestone: str = ""
    told: bool = False
    duration_stream: int = field(init=False)
    fails_stream: int = field(init=False)
    rework_stream: int = field(init=False)
    notice_stream: int = field(init=False)
    visit_stream: int = field(init=False)

    def __post_init__(self) -> None:
        for quantity in ("duration", "fails", "rework", "notice", "visit"):
            object.__setattr__(self, f"{quantity}_stream", stream(quantity, self.key))


@dataclass(frozen=True, slots=True)
class Hire:
    """What a gang or a machine costs besides its hours.

    Parameters: ``day`` [currency/day]: of each date with work for what is called, or what is paid for no ``idle_days``;
    of each of its own working days for a gang; of 24 hours for a machine that is there from first to last.
    ``mobilisation`` and ``demobilisation`` [currency], once each if it ever comes, of a gang called at notice each time
    that it does; ``weekend`` [currency/h], the rate of shift hours at work on Saturday and Sunday, ``weekend_waiting``
    that of waiting; as on other days where None.
    """

    day: float = 0.0
    mobilisation: float = 0.0
    demobilisation: float = 0.0
    idle_days: bool = True
    weekend: float | None = None
    weekend_waiting: float = 0.0


@dataclass(frozen=True, slots=True)
class Unit:
    """A resource of the time account: one named gang or machine.

    Parameters: ``hours``, the name of its calendar; ``size``, people in it; ``rate`` [currency/h] at work,
    ``overtime_rate`` outside its shifts, ``waiting_rate`` while it is on site and on shift without work; ``on_call``,
    hired for each call, so that it is absent between calls; ``hire``, what it costs besides its hours; ``flow``, how a
    gang that is not simply there whenever its work is ready comes; ``notice`` [h of its calendar] at which it does
    where it has to be called.
    """

    name: str
    kind: UnitKind
    hours: str
    size: int = 1
    rate: float = 0.0
    overtime_rate: float = 0.0
    waiting_rate: float = 0.0
    on_call: bool = False
    hire: Hire = Hire()
    flow: KeptRunning | AtNotice | None = None
    notice: Distribution | None = None
