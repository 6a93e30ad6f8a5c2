"""What a weather record might say, made up small enough to reckon by hand."""

from __future__ import annotations

from typing import Any

MONTHS = [{"year": 2027 + (month < 11), "month": month} for month in (11, 12)] + [
    {"year": 2028, "month": month} for month in range(1, 11)
]


def told(units: str = "metric", **changes: Any) -> dict[str, Any]:
    """Make up what a record says: a roof that loses half of November, and a <tent> that loses nothing."""

    def month(mean: float, spread: float) -> dict[str, list[float]]:
        return {"mean": [mean] * 12, "spread": [spread] + [10.0] * 11}

    roof = {
        "kind": "flat_roof",
        "calendars": ["site"],
        "shift_hours": [160.0] * 12,
        "workable_hours": [80.0] + [152.0] * 11,
        "workable_hours_4_in_5": [60.0] + [140.0] * 11,
        "lost_days": [9.5] + [0.5] * 11,
        "lost_hours": {"gust": [30.0] + [8.0] * 11, "after rain": [50.0] + [0.0] * 11},
        "lost_hours_a_year": {"record": {"mean": 168.0, "spread": 20.4}, "drawn": {"mean": 160.2, "spread": 15.0}},
    }
    tent = {
        **roof,
        "kind": "<tent>",
        "calendars": ["shell", "site"],
        "workable_hours": [160.0] * 12,
        "lost_hours": {},
        "lost_days": [0.0] * 12,
    }
    return {
        "scenario": "Reed Bank & Co",
        "units": units,
        "currency": "EUR",
        "start": "2027-11-08",
        "runs": 40,
        "seed": 3,
        "record": {
            "name": "mill",
            "origin": "Measured <here>.",
            "step": "hour",
            "first_day": "2019-01-01",
            "last_day": "2021-12-31",
            "years": 3,
            "few": True,
            "rain_mm_a_year": 1016.0,
            "wet_days_a_year": 150.0,
            "temperature_c": {"mean": 10.0, "lowest": -10.0, "highest": 30.0},
            "wind_m_s": {"mean": 4.4704, "highest_hour": 17.88},
            "gust_m_s": {"highest": 26.8, "recorded": True},
            "humidity": {"mean": 0.8, "recorded": False},
            "remarks": ["Missing of 26,304 hours, and filled: rain in 12."],
            "doubts": ["wind: a mean of 8.0 m/s is very windy."],
        },
        "drawn": {"how": "blocks", "block_days": 10, "window_days": 15},
        "days_drawn_again": 31.8,
        "months": MONTHS,
        "kinds": [roof, tent],
        "limits": {"flat_roof": "gusts up to 11.0 m/s, in the open", "<tent>": "none, in the open"},
        "unused": ["painting"],
        "rain": {
            "record": {
                "monthly_mm": month(101.6, 50.8),
                "year_mm": {"mean": 1219.2, "spread": 127.0},
                "wet_spell_days": 3.1,
                "wet_after_wet": 0.68,
                "longest_wet_spell_days": 19,
            },
            "drawn": {
                "monthly_mm": month(100.0, 25.4),
                "year_mm": {"mean": 1200.0, "spread": 100.0},
                "wet_spell_days": 2.9,
                "wet_after_wet": 0.66,
                "longest_wet_spell_days": 37,
            },
        },
        "assumptions": ["Weather is drawn from 3 years."],
        "cautions": ["All limits defer to the engineer."],
        **changes,
    }
