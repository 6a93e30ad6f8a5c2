"""What the figures of a relief study mean, what they assume, and what nobody should forget."""

from __future__ import annotations

from sitesim.report.words import several
from sitesim.study.relieving import ReliefStudy


def how_sure(study: ReliefStudy) -> list[str]:
    """Say what the figures mean and how sure they are."""
    runs, seed = study.planned.runs, study.basis.seed
    return [
        f"Each relief was played {several(runs, 'time')} with seed {seed}: run by run the same weather, breakdowns and "
        "inspections as the site as planned, so that the difference is the relief's own.",
        "Days won count working days of the site's calendar, + earlier. The date at 4 in 5 (P80) is the one by which "
        "4 in 5 runs finish, at 1 in 2 (P50) half of them.",
        "By the mean of the pairs of runs a relief is said to win days, to lose them, or neither that can be told. "
        "Those that win are ranked by the days won at 4 in 5, then by what a day costs.",
        "A day won: the mean difference of cost over the mean of the days won. What has no price in the scenario is "
        "not in it, and is named beside each relief.",
        "Intervals are at 95 %; those of one column hold for all reliefs together, those of pairs for all pairs, and "
        "those of homes for all homes besides. Having picked the best of many flatters them a little: play those few "
        "again with another seed before you spend money.",
        "What held the date: calendar days of the chain behind the last hand-over, mean of the runs that end both as "
        "planned and with the relief. What one thing no longer holds, another may.",
        "The intervals cover the luck of the runs, not what the model leaves out.",
    ]


ASSUMED = (
    "One more gang is as large, as good and as dear as those there are, and can be had on the same days. Each gang "
    "learns by what it does itself, so that two that share the work get faster more slowly than one. A gang that is "
    "paid by the job costs nothing while it waits; one that is paid by the hour is paid from its first work on site to "
    "its last.",
    "One more tent, printer, crane or telehandler is hired for the days on which it is on site, at the scenario's "
    "rates; where the site has fronts, each gets a tent or a printer more. Nobody changes the method of set-up: a "
    "second tent raised ahead of the printer is another strategy, to be written in a list of one's own.",
    "Saturdays are paid at the overtime rate, or at a gang's own rate for weekends. Inspectors, crane, deliveries and "
    "the plant keep their own week; the site's overhead runs on Saturdays where every gang works, and not where one "
    "does.",
    "Faster printing changes the speed of the nozzle alone: whether the mix carries the next layer so soon is for the "
    "manufacturer and the engineer.",
)
"""What the usual reliefs assume."""

CAUTIONS = (
    "Whether a gang, a crane or a tent can be had, and from which day, is not known here: ask before you count on it.",
    "A second crane or printer needs its place, its lift plan and its keep-out zone; wind stops both cranes alike.",
    "Curing and drying take the time they take: no relief shortens what the engineer of record, the manufacturer or "
    "the local code asks for.",
    "An inspector's notice is theirs to give.",
)
"""What nobody should forget about reliefs."""
