"""From the checked model to the plan: plain numbers, made once."""

from sitesim.scenario.planning.plan import make_plan

__all__ = ["make_plan"]
