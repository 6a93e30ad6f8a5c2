"""The scenario to start from with everything that supply and print days may have, at once."""

from __future__ import annotations

from pathlib import Path

from cases import changed

PLANT = """  calendar: plant
  other_customers: 60 %
  ordering: will-call
  lead: 90 min
  early: 20 min
  morning_call: confirm
  notice: 45 min
  traffic:
    - {hours: ["07:00-09:00", "16:00-18:00"], factor: 1.2}
  outages:
    - {name: stocktaking, of: plant, on: [2027-05-14, 2027-06-18]}
    - {name: bridge, of: road, on: 2027-05-20, hours: ["09:00-10:30"]}
    - {name: axle, of: truck, hours: ["06:00-12:00"], chance: 5 %, time: [1 h, 4 h, 30 h]}
  holding_hopper: {capacity: 2.5 m^3, empties_in: 12 min, refill_at: 0.2 m^3, life: 1.25}
  refused: 2 %
  wash: 5 min
"""
PRINTER = """  slump_check: 10 min
  turn: 2 s
  rated_lift: 150 kg
  meal: {after: 4 h, time: 30 min}
"""
CONCRETE = """  warmth: {rise: 4 delta_degC, least: 10 degC}
  retarder: 1.1
  accelerator: {life: 45 min, build_up: 0.8 Pa/s, clear: 40 min}
  waiver: {until: 360 min, by: producer and engineer}
  planned_joint: {time: 20 min, concrete: 20 L}
"""
WALL = ("{layers: 1-50, path: 90 m}", "{layers: 1-50, path: 90 m, turns: 40, speed: 95 %}")
LINTELS = (
    "    - {layer: 50, name: lintels, time: 60 min}\n",
    "    - {layer: 30, name: boxes, time: 10 min}\n  lintels:\n"
    "    - {layer: 50, count: 6, mass: 80 kg, each: 8 min, bed: 12 min}\n",
)
STOPS = (
    "per: pumped, every: 12 h, time: {p50: 20 min, p90: 60 min}}",
    "per: pumped, every: 12 h, time: {p50: 20 min, p90: 60 min}, loses_hose: true, old: {after: 3 h, counts: 2}, "
    "pause: {after: 20 min, counts: 3}}",
)
CALENDARS = ("calendar:\n", 'calendar:\n  plant: {days: mon-fri, hours: ["05:00-17:00"]}\n')
COSTS = ("  standby: 130 /h\n", "  standby: 130 /h\n  holding_hopper: 90 /d\n")
READY_MIX = (
    CALENDARS,
    WALL,
    LINTELS,
    STOPS,
    COSTS,
    ("  spacing: 120 min\n", PLANT),
    ("  travel: 15 % ", PRINTER + "  travel: 15 % "),
    ("  open_time: 65 min ", CONCRETE + "  open_time: 65 min "),
    ("joint_steel: {every: 10, time: 15 min}", "joint_steel: {every: 10, time: 15 min, beside: true}"),
)
STORE = """  mode: site-mixing
  batch: 0.25 m^3
  cycle: [5 min, 7 min, 12 min]
  ready: 40 min
  batch_fails: 2 %
  cleaning: {every: 3 h, time: 10 min}
  store: {capacity: 12 m^3, reorder_at: 4 m^3, delivery: 9 m^3, lead: [1, 2, 4]}
"""


def everything(folder: Path) -> Path:
    """Write the scenario with a plant that has everything."""
    return changed(folder, *READY_MIX)


def everything_mixed(folder: Path) -> Path:
    """Write the same with a mixer on site that has everything."""
    path = everything(folder)
    text = path.read_text()
    begin, end = text.index("  mode: ready-mix"), text.index("crews:  ")
    path.write_text(text[:begin] + STORE + "\n" + text[end:])
    return path
