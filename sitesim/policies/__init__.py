"""Choices: frozen values with pure methods, a view in and a decision out."""

from sitesim.policies.building_order import OrderBy, Plot, building_order, taking_turns
from sitesim.policies.course import Course
from sitesim.policies.crew_flow import AtNotice, KeptRunning, Stint
from sitesim.policies.morning_call import AdjustTheOrder, ConfirmTheOrder, MorningCall, MorningView
from sitesim.policies.ordering import (
    DaysNeed,
    Delivery,
    FixedSpacing,
    LoadSizes,
    OrderingPolicy,
    TodayView,
    TomorrowView,
    WillCall,
)
from sitesim.policies.relocation import COMING, GOING, SETTLING, GantryMoves, Relocation, SetUpOrder, TakeDown

__all__ = [
    "COMING",
    "GOING",
    "SETTLING",
    "AdjustTheOrder",
    "AtNotice",
    "ConfirmTheOrder",
    "Course",
    "DaysNeed",
    "Delivery",
    "FixedSpacing",
    "GantryMoves",
    "KeptRunning",
    "LoadSizes",
    "MorningCall",
    "MorningView",
    "OrderBy",
    "OrderingPolicy",
    "Plot",
    "Relocation",
    "SetUpOrder",
    "Stint",
    "TakeDown",
    "TodayView",
    "TomorrowView",
    "WillCall",
    "building_order",
    "taking_turns",
]
