"""The printed bead: how much concrete a layer takes, how fast, and how long."""

from __future__ import annotations

import math

from sitesim.trade.arguments import require_not_negative, require_positive

SECONDS_PER_HOUR = 3600.0


def nozzle_flow(speed: float, layer_height: float, bead_width: float) -> float:
    """Return the flow through the nozzle while it lays a bead [m³/h].

    Parameters: speed of the nozzle [m/s], layer_height [m], bead_width [m]. Raises ValueError if one is not
    above 0. Source: continuity of a rectangular bead.
    """
    require_positive(speed=speed, layer_height=layer_height, bead_width=bead_width)
    return speed * layer_height * bead_width * SECONDS_PER_HOUR


def layer_volume(path: float, layer_height: float, bead_width: float, waste: float = 0.0) -> float:
    """Return the concrete that one layer takes, waste included [m³].

    Parameters: path, the length of bead in the layer [m]; layer_height [m]; bead_width [m]; waste, a share
    of what stays in place [-]. Raises ValueError if a length is not above 0 or the waste is negative.
    """
    require_positive(path=path, layer_height=layer_height, bead_width=bead_width)
    require_not_negative(waste=waste)
    return path * layer_height * bead_width * (1.0 + waste)


def nozzle_time(path: float, speed: float, travel_share: float = 0.0) -> float:
    """Return the time the nozzle needs for one layer, travel and turns included [h].

    Parameters: path, the length of bead in the layer [m]; speed [m/s]; travel_share, the time for travel
    and turns as a share of the time spent laying [-]. Raises ValueError if path or speed is not above 0 or
    the share is negative.
    """
    require_positive(path=path, speed=speed)
    require_not_negative(travel_share=travel_share)
    return path / speed / SECONDS_PER_HOUR * (1.0 + travel_share)


def emptying_time(volume: float, flow: float) -> float:
    """Return how long a volume of concrete lasts at a steady flow [h].

    Parameters: volume [m³], flow [m³/h]. Raises ValueError if the flow is not above 0 or the volume is
    negative.
    """
    require_positive(flow=flow)
    require_not_negative(volume=volume)
    return volume / flow


def hose_contents(length: float, bore: float) -> float:
    """Return the concrete that fills a hose and is thrown away when it is washed out [m³].

    Parameters: length [m], bore, the inner diameter [m]. Raises ValueError if one is not above 0.
    """
    require_positive(length=length, bore=bore)
    return math.pi / 4.0 * bore * bore * length
