"""The ledger read as engagements, against rows written out by hand."""

from __future__ import annotations

from small_study import small_study

from sitesim.report.engagements import PRINTING, Engagement, engagements, in_rows, of_kind


def test_the_pieces_of_a_print_day_become_one_engagement_with_its_stops() -> None:
    study = small_study()
    run = study.summary["standing_for"]["P80"]
    (day,) = [entry for entry in engagements(study.activities, run) if entry.activity == "A/print day 1"]
    assert (day.kind, day.start, day.end, day.after) == (PRINTING, 79.0, 88.0, "A/tent_up")
    assert sorted(day.who) == ["printer", "shell", "tent"]
    assert day.stopped == {"concrete": 1.5}  # once, not once for each of those in it


def test_they_come_in_the_order_in_which_they_began_and_only_of_one_run() -> None:
    study = small_study()
    run = study.summary["standing_for"]["P80"]
    starts = [entry.start for entry in engagements(study.activities, run)]
    assert starts == sorted(starts)
    assert engagements(study.activities, run + 1) == []


def test_rows_keep_engagements_from_covering_each_other() -> None:
    first, second, third = (
        Engagement("A/x", "A", "", "work", start, end, "") for start, end in ((0.0, 10.0), (5.0, 15.0), (10.0, 12.0))
    )
    assert in_rows([first, second, third]) == [[first, third], [second]]


def test_resources_are_picked_by_kind() -> None:
    assert of_kind(["a", "b", "c"], {"a": "gang", "b": "tent"}, "gang") == ["a"]
