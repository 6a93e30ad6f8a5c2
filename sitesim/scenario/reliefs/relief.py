"""What would bring a date forward: one thing that money or effort could buy, or several together."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sitesim.plan import WaitedFor
from sitesim.scenario.document import Place
from sitesim.scenario.reliefs.kinds import Relieving
from sitesim.scenario.variants.draft import Draft

ORDINALS = ("second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
"""How what comes to one, to two and so on is called."""

USUAL = Place("the usual reliefs", 0)
"""Where a relief stands that is made from the scenario itself."""


@dataclass(frozen=True, slots=True)
class Relief:
    """Something that might bring the date forward.

    Parameters: ``name``, in the trade's words; ``steps``, what it changes and where each of that is written; ``more``,
    the gangs and machines of which there are more; ``relieves``, what should hold the date less; ``unpriced``, what it
    takes that the scenario has no price for, in words; ``parts``, the names of the reliefs that come together in it.
    """

    name: str
    steps: tuple[tuple[Relieving, Place], ...]
    more: tuple[str, ...] = ()
    relieves: tuple[WaitedFor, ...] = ()
    unpriced: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()

    @property
    def short(self) -> str:
        """The gang or machine of which there is one more, where it is one alone; else its name."""
        return self.more[0] if len(self.more) == 1 and not self.parts else self.name

    @property
    def files(self) -> frozenset[str]:
        """The files of the user's own in which it is written."""
        return frozenset(place.file for _, place in self.steps if place != USUAL)

    @property
    def paths(self) -> frozenset[str]:
        """The dotted paths of what it changes."""
        return frozenset().union(*(change.paths for change, _ in self.steps))

    def changed(self, draft: Draft) -> Draft:
        """Give the draft with this relief; raises DoesNotApply, with what is missing, if it has nothing to change."""
        for change, place in self.steps:
            draft = change.changed(replace(draft, place=place))
        return draft

    def goes_with(self, other: Relief) -> bool:
        """Tell whether both can come together: they change different things."""
        return not any(
            path == another or path.startswith(f"{another}.") or another.startswith(f"{path}.")
            for path in self.paths
            for another in other.paths
        )


def together(reliefs: tuple[Relief, ...], name: str = "") -> Relief:
    """Give reliefs that come together.

    Parameters: ``name``, that of its parts one after the other unless given.
    """
    first, *others = reliefs
    between = ", and " if any(" and " in one.name for one in reliefs) else " and "
    return Relief(
        name or between.join([first.name, *(in_a_sentence(one.name) for one in others)]),
        steps=tuple(step for one in reliefs for step in one.steps),
        more=tuple(dict.fromkeys(thing for one in reliefs for thing in one.more)),
        relieves=tuple(dict.fromkeys(thing for one in reliefs for thing in one.relieves)),
        unpriced=tuple(dict.fromkeys(thing for one in reliefs for thing in one.unpriced)),
        parts=tuple(one.name for one in reliefs),
    )


def in_a_sentence(name: str) -> str:
    """Write a name within a sentence; one in capitals stays, and so does a day of the week."""
    stays = name[1:2].isupper() or name[1:2].isdigit() or name.startswith("Saturday")
    return name if stays else f"{name[:1].lower()}{name[1:]}"


def with_article(name: str) -> str:
    """Write a name within a sentence, with its article if it says which one comes: ``a second tent``."""
    said = in_a_sentence(name)
    if said.partition(" ")[0] in ORDINALS:
        return f"an {said}" if said.startswith("eighth") else f"a {said}"
    return said
