"""The formulas of the trade as pure functions, each with its units and its source.

Nothing here knows of a site or a plan; every formula can be checked with a pocket calculator.
"""
