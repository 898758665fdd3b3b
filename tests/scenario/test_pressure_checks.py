"""Treating pressures against the rating of the stack, its test, and what the pumps can hold."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.scenario.files import BASE, Changes, accepted, changed, said

FLEET = "rate_limit: 120 bbl/min}"
HERON_1 = "{name: Heron 1,"
ROTATION = "  wells_in_rotation: 2\n"


def pressure(stated: str) -> tuple[str, str]:
    """Heron 1 with pressures: its vertical depth, and whatever else is stated."""
    return (HERON_1, f"{HERON_1} pressure: {{true_vertical_depth: 10000 ft{stated}}},")


def pumps(stated: str) -> tuple[str, str]:
    """The fleet with its pumps stated."""
    return (FLEET, f"rate_limit: 120 bbl/min, {stated}}}")


# Heron 1 at its deepest stage, 20,400 ft along the hole, 90 bbl/min of fresh water in 4.778 in casing, by hand:
# fracture 0.8 x 10,000 + near the wellbore 300 + perforations 893 + pipe 0.30 x 0.7746 psi/ft x 20,400 ft = 4,740
# - hydrostatic 0.05195 x 8.34 x 10,000 = 4,332, together 9,600 psi (Bourgoyne et al. 1986; Economides & Nolte 2000;
# both from memory).
BY_HAND = "9,600 psi"


@pytest.mark.parametrize(
    ("changes", "lines"),
    [
        (
            [pressure(", stack_rating: 9500 psi")],
            [
                f"11: wells.Heron 1.pressure.stack_rating: at 90 bbl/min the treating pressure reaches {BY_HAND}, above"
                " the rating of 9,500 psi; expected a lower rate, less friction or a higher rating (got '9500 psi')"
            ],
        ),
        (
            [pressure(", fracture_gradient: 0.9 psi/ft")],
            [
                "11: wells.Heron 1.pressure: at 90 bbl/min the treating pressure reaches 10,600 psi, above the rating"
                " of 10,000 psi; expected a lower rate, less friction or a higher rating"
            ],
        ),
        (
            [(HERON_1, f"{HERON_1} pressure: {{true_vertical_depth: 10501 ft}},")],
            [
                "11: wells.Heron 1.pressure.true_vertical_depth: deeper than the way to the heel, 10,500 ft; expected"
                " less (got '10501 ft')"
            ],
        ),
        (
            [pressure(", margin: 0 %, test_pressure: 9599 psi")],
            [
                f"11: wells.Heron 1.pressure.test_pressure: below the treating pressure of {BY_HAND}; expected at"
                " least that (got '9599 psi')"
            ],
        ),
        (
            [pressure(", test_pressure: 70 MPa")],
            [
                "11: wells.Heron 1.pressure.test_pressure: above the stack's rating of 10,000 psi; expected at most"
                " that (got '70 MPa')"
            ],
        ),
        (
            [pressure(", minimum_rate: 89 bbl/min")],
            [
                "11: wells.Heron 1.pressure.minimum_rate: Fleet A can hold only 85 bbl/min in stage 1, below the"
                " minimum of 89 bbl/min; expected less friction, a higher stack_rating or a smaller margin"
                " (got '89 bbl/min')"
            ],
        ),
        (
            [pressure(""), pumps("pumps: 7")],
            [
                "11: wells.Heron 1.pressure: Fleet A can hold only 46 bbl/min in stage 1, below the minimum of"
                " 50 bbl/min; expected more pumps, a higher rate_limit or fewer wells at once"
            ],
        ),
        (
            [pressure(""), (ROTATION, f"{ROTATION}  pumped_together: 2\n"), (FLEET, "rate_limit: 98 bbl/min}")],
            [
                "11: wells.Heron 1.pressure: Fleet A can hold only 49 bbl/min in stage 1, below the minimum of"
                " 50 bbl/min; expected more pumps, a higher rate_limit or fewer wells at once"
            ],
        ),
    ],
)  # fmt: skip
def test_pressures_that_cannot_be(tmp_path: Path, changes: Changes, lines: list[str]) -> None:
    """The stack's rating, its test, and what pumps can hold, against the treating pressure worked out by hand."""
    assert said(tmp_path, changed(*changes, text=BASE)) == [f"pad.yaml:{line}" for line in lines]


@pytest.mark.parametrize(
    "changes",
    [
        [pressure("")],
        [pressure(", stack_rating: 9601 psi")],
        [pressure(", margin: 0 %, test_pressure: 9601 psi")],
        [pressure(", test_pressure: 10000 psi")],
        [pressure(", minimum_rate: 84 bbl/min")],
        [(HERON_1, f"{HERON_1} pressure: {{true_vertical_depth: 10500 ft, stack_rating: 15000 psi}},")],
    ],
)
def test_pressures_that_can_just_be(tmp_path: Path, changes: Changes) -> None:
    """One step to the other side of each bound."""
    assert accepted(tmp_path, changes)


def test_everything_is_looked_at_only_where_it_is_sound(tmp_path: Path) -> None:
    """A slip in the wells does not keep the units from being judged, nor does one in a pressure end in a traceback."""
    changes = [pressure(", margin: 100 %"), pumps("pumps: 2, spare_pumps: 5")]
    assert said(tmp_path, changed(*changes, text=BASE)) == [
        "pad.yaml:11: wells.Heron 1.pressure.margin: expected less than 100 % (got '100 %')",
        "pad.yaml:18: units.pumping_fleets.Fleet A.spare_pumps: 5 spare pumps of 2 leave none at work; expected fewer"
        " (got 5)",
    ]
