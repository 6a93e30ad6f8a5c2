"""Choices: frozen values with one pure method each, a view in and a decision out."""

from sitesim.policies.ordering import Delivery, FixedSpacing, OrderingPolicy, TomorrowView
from sitesim.policies.relocation import Relocation, SetUpOrder, TakeDown

__all__ = [
    "Delivery",
    "FixedSpacing",
    "OrderingPolicy",
    "Relocation",
    "SetUpOrder",
    "TakeDown",
    "TomorrowView",
]
