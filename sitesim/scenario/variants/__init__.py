"""Variants of a scenario: changes of a list, each laid over what is written, as stresses and reliefs do."""

from sitesim.scenario.variants.draft import DoesNotApply, Draft, SiteFacts
from sitesim.scenario.variants.laying import AnyListed, LaidOver, lay_over

__all__ = ["AnyListed", "DoesNotApply", "Draft", "LaidOver", "SiteFacts", "lay_over"]
