"""Random small sites, each made of one number: odd numbers of everything, so that no tidy plan hides a fault."""

from __future__ import annotations

from functools import cache
from random import Random

from counted_events import counted_events
from random_buildings import TAKE_DOWNS, Draft, draw_building, draw_fronts, draw_relocation
from random_concrete import draw_print_day, draw_supply
from random_rules import draw_sharing, with_absences, with_flows, with_points
from random_weather import draw_calendars, draw_climate, with_tent_sides
from rigs import MONDAY, NO_CLIMATE, NO_COSTS, account_of, play_plan

from sitesim.chance import Fixed, Triangular
from sitesim.ledger import Account, Entry
from sitesim.plan import Fortune, Inspector, Kind, Plan, Unit, UnitKind
from sitesim.policies import Relocation, SetUpOrder
from sitesim.site import Played

SITES = range(200)


def random_plan(number: int) -> Plan:
    """Make the random site of this number."""
    dice, extras, moves = (Random(f"{of}site {number}") for of in ("", "extras of ", "moves of "))
    with_weather = dice.random() < 0.6
    printers, tents = dice.randint(1, 3), dice.randint(1, 3)
    units = [
        *(Unit(f"shell {i}", UnitKind.GANG, ("shell", "site")[i], rate=100.0) for i in range(dice.randint(1, 2))),
        *(Unit(f"crane {i}", UnitKind.CRANE, "site", on_call=dice.random() < 0.7) for i in range(dice.randint(1, 2))),
        *(Unit(f"printer {i}", UnitKind.PRINTER, "shell") for i in range(printers)),
        *(Unit(f"tent {i}", UnitKind.TENT, "shell") for i in range(tents)),
        *(Unit(f"gang {i}", UnitKind.GANG, dice.choice(("site", "site", "long"))) for i in range(dice.randint(1, 4))),
    ]
    of_kind = {kind: tuple(i for i, unit in enumerate(units) if unit.kind is kind) for kind in UnitKind}
    shell_gangs = tuple(i for i in of_kind[UnitKind.GANG] if units[i].name.startswith("shell"))
    finishing = [i for i in of_kind[UnitKind.GANG] if i not in shell_gangs]
    machines = {kind: of_kind[kind] for kind in (UnitKind.PRINTER, UnitKind.TENT)}
    fronts = draw_fronts(moves, machines)
    draft = Draft(dice, units, [], finishing, shell_gangs, of_kind[UnitKind.CRANE], with_weather, moves, fronts)
    order = dice.choice(list(SetUpOrder))
    gantry, tent = dice.choice(TAKE_DOWNS), dice.choice(TAKE_DOWNS)
    if order is SetUpOrder.GANTRY_FIRST and TAKE_DOWNS.index(tent) > TAKE_DOWNS.index(gantry):
        gantry, tent = tent, gantry
    relocation = draw_relocation(moves, Relocation(order, gantry, tent))
    count = dice.randint(1, 4)
    ranks = dice.sample(range(count), count)
    buildings = []
    for b in range(count):
        homes = tuple(f"{chr(65 + b)}{h + 1}" for h in range(dice.randint(0, 3)))
        printed = b == 0 or dice.random() < 0.75
        buildings.append(draw_building(draft, b, ranks[b], homes, relocation if printed else None))
    if dice.random() < 0.3:
        gate = draft.add("site/road", "road", Kind.WORK, ((dice.choice(finishing),),), Fixed(20.0), -1, ())
        draft.add("site/gate", "gate", Kind.MILESTONE, (), Fixed(0.0), -1, (gate,))
    units = with_flows(Random(f"flows of site {number}"), units)
    plan = with_absences(
        number,
        Plan(
            name=f"random site {number}",
            start=MONDAY,
            days=dice.choice((700, 700, 700, 90, 30)),
            units_of_measure="metric",
            calendars=draw_calendars(dice),
            climate=draw_climate(dice) if with_weather else NO_CLIMATE,
            units=tuple(units),
            inspectors=(Inspector("building", "site", Triangular(1.0, 6.0, 20.0), dice.randint(1, 3), 1.0),),
            buildings=tuple(buildings),
            nodes=tuple(draft.nodes),
            relocation=relocation,
            print_day=draw_print_day(dice, extras, shell_gangs, "print" if with_weather else ""),
            supply=draw_supply(dice, extras, Random(f"mornings of site {number}")),
            fortune=dice.choice((Fortune(0.0, 0.0), Fortune(0.1, 0.1))),
            costs=NO_COSTS,
            sharing=draw_sharing(Random(f"sharing of site {number}")),
        ),
    )
    return with_tent_sides(Random(f"sides of site {number}"), with_points(Random(f"points of site {number}"), plan))


@cache
def played_site(number: int) -> tuple[Plan, Played, Account]:
    """Play a random site once for all the tests that read it, with its diary kept."""
    plan = random_plan(number)
    with counted_events():
        played = play_plan(plan, seed=3, run=number, keep_diary=True)
    return plan, played, account_of(plan, played)


def in_homes(plan: Plan, entry: Entry) -> set[tuple[int, str]]:
    """Give the homes in which an entry's work was, none for what is no work of a gang in one."""
    if entry.node < 0 or not entry.units or entry.kind is not Kind.WORK:
        return set()
    node, outside = plan.nodes[entry.node], frozenset() if plan.sharing is None else plan.sharing.outside
    if node.told or node.building < 0 or node.task.name in outside:
        return set()
    homes = (node.home,) if node.home else plan.buildings[node.building].homes or ("",)
    return {(node.building, home) for home in homes}
