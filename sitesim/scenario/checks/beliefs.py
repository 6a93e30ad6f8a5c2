"""Are the numbers such as can be believed?"""

from __future__ import annotations

from sitesim.scenario.checks.case import Case
from sitesim.scenario.disbelief import disbelieved


def check_beliefs(case: Case) -> None:
    """No number is far outside of what its key can mean, as a slip of its unit would leave it."""
    for trail, message, refused in disbelieved(case.model, case.document, case.model.day_hours):
        if refused:
            case.say(trail, message)
