"""Colours and patterns that any colour vision can tell apart: Okabe and Ito, Color Universal Design, 2008."""

from __future__ import annotations

from typing import NamedTuple

from sitesim.plan import Cause, Kind, State
from sitesim.study.sides_down import SIDES_DOWN

BLACK = "#000000"
ORANGE = "#e69f00"
SKY = "#56b4e9"
GREEN = "#009e73"
YELLOW = "#f0e442"
BLUE = "#0072b2"
VERMILION = "#d55e00"
PURPLE = "#cc79a7"
GREY = "#8a8a8a"
LIGHT = "#d9d9d9"
PALE = "#ececec"
INK = "#1c1c1c"


class Look(NamedTuple):
    """A colour, and a pattern on it; an empty one is plain."""

    colour: str
    pattern: str = ""


PRINTING = Look(BLUE)
MOVING = Look(VERMILION, "/")
STANDING = Look(PALE)

AWAY = Look(LIGHT)

STATE_LOOKS = {
    State.WORKING: PRINTING,
    State.MOVING: MOVING,
    State.OVERTIME: Look(BLUE, "."),
    State.WAITING: Look(YELLOW),
    State.DOWN: Look(BLACK),
}
"""Looks of what a gang or a machine is doing on shift."""

OUTSIDE_LOOKS = {
    Kind.INSPECTION: Look(BLACK),
    Kind.CURE: Look("#6f6f6f"),
    Kind.DELIVERY: Look(LIGHT),
    Kind.WORK: Look(GREY, "/"),
}
"""Looks of what goes on at a place while no gang is there."""

CAUSE_LOOKS = {
    Cause.CONCRETE: Look(GREY),
    Cause.SETTING: Look(GREY, "/"),
    Cause.WEATHER: Look(SKY),
    Cause.CREW: Look(VERMILION),
    Cause.CRANE: Look(VERMILION, "/"),
    Cause.TELEHANDLER: Look(VERMILION, "."),
    Cause.PRINTER: Look(BLUE),
    Cause.TENT: Look(BLUE, "/"),
    Cause.INSPECTION: Look(ORANGE),
    Cause.CURE: Look(YELLOW),
    Cause.PREDECESSOR: Look(GREEN),
    Cause.BREAKDOWN: Look(BLACK),
    Cause.MATERIAL: Look(PURPLE),
    Cause.NO_WORK: Look(LIGHT),
}
"""Looks of the causes."""

WEATHER_LOOKS = {
    "rated gust": Look(BLUE, "/"),
    "gust": Look(BLUE),
    "wind": Look(SKY),
    "rain": Look(GREEN),
    "after rain": Look(GREEN, "/"),
    "before rain": Look(GREEN, "."),
    "soaked ground": Look(YELLOW),
    "temperature low": Look(PURPLE),
    "temperature high": Look(VERMILION),
    "frost": Look(PURPLE, "/"),
    "humidity": Look(ORANGE),
    "evaporation": Look(ORANGE, "/"),
    SIDES_DOWN: Look(BLUE, "."),
}
"""Looks of what weather shuts work by, by the names of `sitesim.weather.BINDING_NAMES`, and of a tent's sides."""

_GANG_COLOURS = (ORANGE, SKY, GREEN, YELLOW, PURPLE)
_GANG_PATTERNS = ("", "/", ".", "x", "|", "-")


def gang_look(place: int) -> Look:
    """Give the look of the n-th gang; after thirty they come again."""
    pattern = _GANG_PATTERNS[place // len(_GANG_COLOURS) % len(_GANG_PATTERNS)]
    return Look(_GANG_COLOURS[place % len(_GANG_COLOURS)], pattern)


_LINE_COLOURS = (BLUE, VERMILION, GREEN, ORANGE, BLACK, PURPLE, SKY)
_LINE_DASHES = ("solid", "dash", "dot", "dashdot", "longdash")


def line_looks(number: int) -> list[tuple[str, str]]:
    """Give colours and dashes for so many lines; those next to each other differ in both, after 35 they come again."""
    colours, dashes = len(_LINE_COLOURS), len(_LINE_DASHES)
    return [
        (_LINE_COLOURS[place % colours], _LINE_DASHES[(place + place // (colours * dashes)) % dashes])
        for place in range(number)
    ]
