"""The two ways in which concrete reaches the pump, as numbers."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from sitesim.chance import Distribution, Fixed, stream
from sitesim.policies import AdjustTheOrder, MorningCall, OrderingPolicy


class Link(StrEnum):
    """What can be lost between the plant and the site."""

    PLANT = "plant"
    ROAD = "road"
    TRUCK = "truck"


@dataclass(frozen=True, slots=True)
class Outage:
    """Plant, road or one truck lost for a while: on named dates, or by chance on any day.

    Parameters: ``dates``, ordinals of the civil dates on which it is known to be lost in these ``hours``
    [h after midnight]; ``chance`` a day that it is lost without notice, for a ``time`` [h] from a moment drawn evenly
    from these hours.
    """

    name: str
    link: Link
    dates: frozenset[int] = frozenset()
    hours: tuple[tuple[float, float], ...] = ((0.0, 24.0),)
    chance: float = 0.0
    time: Distribution = field(default_factory=lambda: Fixed(0.0))
    chance_stream: int = field(init=False)
    hour_stream: int = field(init=False)
    time_stream: int = field(init=False)

    def __post_init__(self) -> None:
        for quantity in ("chance", "hour", "time"):
            object.__setattr__(self, f"{quantity}_stream", stream("outage", quantity, self.name))

    def hour_at(self, share: float) -> float:
        """Give the hour of the day [h] at a share of all these hours, from 0 to 1."""
        left = share * sum(end - begin for begin, end in self.hours)
        for begin, end in self.hours:
            if left <= end - begin:
                return begin + left
            left -= end - begin
        return self.hours[-1][1]


@dataclass(frozen=True, slots=True)
class Traffic:
    """Hours of the day, ``begins`` to ``ends`` [h after midnight], in which the road takes ``factor`` times as long."""

    begins: float
    ends: float
    factor: float


@dataclass(frozen=True, slots=True)
class HoldingHopper:
    """A stirred hopper on site that takes a load at once and lets its truck go.

    Parameters: ``capacity`` [m³]; ``rate`` [m³/h] at which a truck empties into it; ``refill_at`` [m³], what may be
    left in it when the next load is let in, which then counts as old as the rest; ``life_factor``, how many times as
    long concrete may be used from it; ``day`` [currency/working day on site].
    """

    capacity: float
    rate: float
    refill_at: float = 0.0
    life_factor: float = 1.0
    day: float = 0.0


@dataclass(frozen=True, slots=True)
class ReadyMix:
    """A plant with trucks.

    Parameters: ``cut_off`` [h after midnight] for tomorrow's order; ``loading`` [h] at the bay, first water at its
    start; ``haul`` and ``back`` [h]; ``gate`` [h] for tests at the gate; ``refused``, chance that a load fails them;
    ``wash`` [h] of the truck on site after discharge. Prices in the scenario's currency: ``price`` [/m³],
    ``short_load`` [/m³ under ``short_under`` m³], ``standby`` [/h] beyond ``standby_free`` [h/m³], ``disposal`` [/m³]
    of concrete returned or rejected, ``cancellation`` [/load called off after the cut-off]. ``hours`` names the
    plant's calendar, empty for one that never shuts; ``other_customers`` is the share of a bay's time that their loads
    take; ``holding``, a holding hopper on site. With the go of a morning the ``morning_call`` decides what of the
    evening's order comes; a load can be called off or changed until ``notice`` [h] before it is due to be batched,
    without one until it is batched.
    """

    ordering: OrderingPolicy
    trucks: int
    bays: int
    cut_off: float
    loading: Distribution
    haul: Distribution
    back: Distribution
    gate: float
    refused: float
    wash: float
    price: float
    short_load: float
    short_under: float
    standby: float
    standby_free: float
    disposal: float
    cancellation: float
    hours: str = ""
    other_customers: float = 0.0
    traffic: tuple[Traffic, ...] = ()
    outages: tuple[Outage, ...] = ()
    holding: HoldingHopper | None = None
    morning_call: MorningCall = field(default_factory=AdjustTheOrder)
    notice: float = 0.0

    def traffic_at(self, instant: float) -> float:
        """Give the factor on the road at an instant [h]; where spans overlap, the first that is named holds."""
        hour = instant % 24.0
        return next((span.factor for span in self.traffic if span.begins <= hour < span.ends), 1.0)

    @property
    def expected_lead(self) -> float:
        """The time [h] from first water to the gate as a dispatcher would plan it, in free traffic."""
        return self.loading.mean + self.haul.mean


@dataclass(frozen=True, slots=True)
class DryStore:
    """The dry material at a mixer, counted as the concrete [m³] that it makes.

    Parameters: ``capacity``, which is there at the start; ``reorder_at``, the level at which the next ``delivery`` is
    ordered; ``lead`` [h of the site's calendar] from the order.
    """

    capacity: float
    reorder_at: float
    delivery: float
    lead: Distribution


@dataclass(frozen=True, slots=True)
class SiteMix:
    """A mixer on site with its own hands.

    Parameters: ``batch`` [m³]; ``cycle`` [h] a batch, first water at its start; ``ready`` [h] from the start of the
    day to the first batch; ``fails``, chance that a batch is thrown away; ``blend`` [currency/m³] of dry material;
    ``hands`` [currency/h] while the day lasts; ``mixer`` [currency/working day on site]; ``disposal`` [currency/m³];
    ``clean_every`` [h since it was clean] and ``clean_time`` [h]; ``store`` of dry material, None where it never runs
    out.
    """

    batch: float
    cycle: Distribution
    ready: float
    fails: float
    blend: float
    hands: float
    mixer: float
    disposal: float
    clean_every: float = float("inf")
    clean_time: float = 0.0
    store: DryStore | None = None


Supply = ReadyMix | SiteMix
