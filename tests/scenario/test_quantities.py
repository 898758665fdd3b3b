"""Quantities against the published sizes of their units, and every way to get one wrong."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic_core import PydanticCustomError

from sim.scenario.quantities import (
    DENSITY,
    DIAMETER,
    FLOW,
    GRADIENT,
    LENGTH,
    LOADING,
    MASS,
    PER_LENGTH,
    POWER,
    PRESSURE,
    SPEED,
    TIME,
    VOLUME,
    Dimension,
    parse,
    parse_share,
)

US_GALLONS_IN_A_BARREL = 42  # US EIA, State Energy Data, appendix C
M3_IN_A_BARREL = 0.158987294928  # the same; NIST Special Publication 811, from memory
M_IN_A_FOOT = 0.3048  # NIST Special Publication 811, from memory
KG_IN_A_POUND = 0.45359237  # US EIA, State Energy Data, appendix C
POUNDS_IN_A_SHORT_TON = 2000  # US EIA, State Energy Data, appendix C
M_IN_AN_INCH = 0.0254  # NIST Special Publication 811, from memory, as are the next two
KPA_IN_A_PSI = 6.894757293168
KW_IN_A_HORSEPOWER = 0.74569987158227  # 550 ft lbf/s
M3_IN_A_GALLON = M3_IN_A_BARREL / US_GALLONS_IN_A_BARREL


@pytest.mark.parametrize(
    ("written", "dimension", "internal"),
    [
        ("42 gal", VOLUME, 42 / US_GALLONS_IN_A_BARREL),
        ("1 m3", VOLUME, 1 / M3_IN_A_BARREL),
        ("1000 L", VOLUME, 1 / M3_IN_A_BARREL),
        ("60 kbbl", VOLUME, 60_000),
        ("1_000 bbl", VOLUME, 1000),
        ("1 m", LENGTH, 1 / M_IN_A_FOOT),
        ("20500 ft", LENGTH, 20_500),
        ("4.778 in", LENGTH, 4.778 / 12),
        ("1 kg", MASS, 1 / KG_IN_A_POUND),
        ("1 t", MASS, 1000 / KG_IN_A_POUND),
        ("0.9071847 t", MASS, POUNDS_IN_A_SHORT_TON),
        ("3 ton", MASS, 3 * POUNDS_IN_A_SHORT_TON),
        ("2.4 million lb", MASS, 2.4e6),
        ("3 thousand lb", MASS, 3000),
        ("95 bbl/min", FLOW, 95 * 60),
        ("95 bpm", FLOW, 95 * 60),
        ("60 kbbl/day", FLOW, 60_000 / 24),
        ("15 m3/min", FLOW, 15 * 60 / M3_IN_A_BARREL),
        ("42 gal / min", FLOW, 60),
        ("30 min", TIME, 0.5),
        ("90 s", TIME, 0.025),
        ("2 week", TIME, 336),
        ("+.5h", TIME, 0.5),
        ("250 ft/min", SPEED, 15_000),
        ("75 m/min", SPEED, 75 * 60 / M_IN_A_FOOT),
        ("10_000 psi", PRESSURE, 10_000),
        ("1 kPa", PRESSURE, 1 / KPA_IN_A_PSI),
        ("69 MPa", PRESSURE, 69_000 / KPA_IN_A_PSI),
        ("690 bar", PRESSURE, 69_000 / KPA_IN_A_PSI),
        ("0.8 psi/ft", GRADIENT, 0.8),
        ("19 kPa/m", GRADIENT, 19 / KPA_IN_A_PSI * M_IN_A_FOOT),
        ("0.19 bar/m", GRADIENT, 19 / KPA_IN_A_PSI * M_IN_A_FOOT),
        ("2500 hp", POWER, 2500),
        ("1 kW", POWER, 1 / KW_IN_A_HORSEPOWER),
        ("2 MW", POWER, 2000 / KW_IN_A_HORSEPOWER),
        ("8.34 ppg", DENSITY, 8.34),
        ("8.34 lb/gal", DENSITY, 8.34),
        ("1010 kg/m3", DENSITY, 1010 / KG_IN_A_POUND * M3_IN_A_GALLON),
        ("4.778 in", DIAMETER, 4.778),
        ("121 mm", DIAMETER, 0.121 / M_IN_AN_INCH),
        ("45 bbl/ft", PER_LENGTH, 45),
        ("42 gal/ft", PER_LENGTH, 1),
        ("23 m3/m", PER_LENGTH, 23 / M3_IN_A_BARREL * M_IN_A_FOOT),
        ("2200 lb/ft", LOADING, 2200),
        ("3.3 t/m", LOADING, 3300 / KG_IN_A_POUND * M_IN_A_FOOT),
        (0, VOLUME, 0),
        (0.0, TIME, 0),
    ],
)
def test_units_have_their_published_size(written: object, dimension: Dimension, internal: float) -> None:
    """A quantity comes in in the one unit that is kept of its kind, by the published sizes of the units."""
    assert parse(written, dimension) == pytest.approx(internal, rel=1e-7 if "0.9071847" in str(written) else 1e-12)


TIME_EXPECTED = "expected a time such as '12 h', '30 min' or '4 day'"
VOLUME_EXPECTED = "expected a volume such as '9500 bbl', '60 kbbl' or '1500 m3'"
PRESSURE_EXPECTED = "expected a pressure such as '10000 psi' or '69 MPa'"
COMMA = "a comma in a number: thousands are written without one, decimals with a point"
MASS_EXPECTED = "expected a mass such as '440 klb' or '200 t'"


@pytest.mark.parametrize(
    ("written", "dimension", "message"),
    [
        (12, TIME, f"a number without a unit; {TIME_EXPECTED}"),
        ("12", TIME, f"a number without a unit; {TIME_EXPECTED}"),
        ("2 million", MASS, f"a number without a unit; {MASS_EXPECTED}"),
        (True, TIME, f"not a quantity; {TIME_EXPECTED}"),
        (None, TIME, f"not a quantity; {TIME_EXPECTED}"),
        ("soon", TIME, f"not a quantity; {TIME_EXPECTED}"),
        ("nan h", TIME, f"not a quantity; {TIME_EXPECTED}"),
        ("inf h", TIME, f"not a quantity; {TIME_EXPECTED}"),
        ("1" * 90 + " h", TIME, f"not a quantity; {TIME_EXPECTED}"),
        ("12 bbl", TIME, f"'bbl' is a volume; {TIME_EXPECTED}"),
        ("12 h/day", TIME, f"'h/day' is not a unit used here; {TIME_EXPECTED}"),
        ("12 H", TIME, f"unit 'H' is not known; {TIME_EXPECTED}"),
        ("1 h 30 min", TIME, f"unit 'h 30 min' is not known; {TIME_EXPECTED}"),
        ("12:30", TIME, f"unit ':30' is not known; {TIME_EXPECTED}"),
        ("5 m**9**9**9", LENGTH, "unit 'm**9**9**9' is not known; expected a length such as '20500 ft' or '6250 m'"),
        ("3 feets", LENGTH, "unit 'feets' is not known; expected a length such as '20500 ft' or '6250 m'"),
        ("3 psis", PRESSURE, f"unit 'psis' is not known; {PRESSURE_EXPECTED}"),
        ("3 bbl/days", PRESSURE, f"'bbl/days' is a volume per time; {PRESSURE_EXPECTED}"),
        ("3 bbl/dayss", VOLUME, f"unit 'bbl/dayss' is not known; {VOLUME_EXPECTED}"),
        ("9,000 bbl", VOLUME, f"{COMMA}; {VOLUME_EXPECTED}"),
        ("9,5 bbl", VOLUME, f"{COMMA}; {VOLUME_EXPECTED}"),
        ("1,000,000", MASS, f"{COMMA}; {MASS_EXPECTED}"),
        ("1__0 h", TIME, f"unit '__0 h' is not known; {TIME_EXPECTED}"),
        ("-3 h", TIME, f"negative; {TIME_EXPECTED}"),
        ("1e9 h", TIME, f"more than 200,000 hours, taken for a slip; {TIME_EXPECTED}"),
        ("1e999 h", TIME, f"more than 200,000 hours, taken for a slip; {TIME_EXPECTED}"),
        ("5 furlong", LENGTH, "unit 'furlong' is not known; expected a length such as '20500 ft' or '6250 m'"),
        (
            "5 psi/ft",
            PRESSURE,
            f"'psi/ft' is a pressure per length; {PRESSURE_EXPECTED}",
        ),
        ("5 hp", PRESSURE, f"'hp' is a power; {PRESSURE_EXPECTED}"),
        ("60 kpsi", PRESSURE, f"unit 'kpsi' is not known; {PRESSURE_EXPECTED}"),
        (
            "51 kg/m3",
            PER_LENGTH,
            "'kg/m3' is a mass per volume; expected a volume per length such as '45 bbl/ft' or '23 m3/m'",
        ),
        (
            "8 in/ft",
            DIAMETER,
            "'in/ft' is not a unit used here; expected a length such as '4.778 in' or '121 mm'",
        ),
        (
            "60000 psi",
            PRESSURE,
            f"more than 50,000 psi, taken for a slip; {PRESSURE_EXPECTED}",
        ),
        (
            "5 Mbbl",
            VOLUME,
            f"the prefix M means a thousand to some and a million to others: write k or million; {VOLUME_EXPECTED}",
        ),
        (
            "5 MMlb",
            MASS,
            f"the prefix M means a thousand to some and a million to others: write k or million; {MASS_EXPECTED}",
        ),
    ],
)
def test_a_wrong_quantity_is_refused_with_what_was_expected(
    written: object, dimension: Dimension, message: str
) -> None:
    """Every refusal names what is wrong and how to write it."""
    with pytest.raises(PydanticCustomError) as refused:
        parse(written, dimension)
    assert refused.value.message() == message


@pytest.mark.parametrize("written", [0, "0 ft", "0.0 m"])
def test_zero_is_refused_where_nothing_can_be_nothing(written: object) -> None:
    """A depth of zero is no depth, whether it has a unit or not."""
    with pytest.raises(PydanticCustomError, match="expected a length"):
        parse(written, LENGTH, positive=True)


@given(st.one_of(st.text(max_size=100), st.floats(), st.integers(), st.none(), st.lists(st.text())))
def test_anything_else_is_refused_without_fuss(written: object) -> None:
    """Whatever is written, the answer is a number of hours in reach or a refusal that says what was expected."""
    answer = answered(written)
    assert answer.endswith(TIME_EXPECTED) if isinstance(answer, str) else 0 <= answer <= TIME.most


def answered(written: object) -> float | str:
    try:
        return parse(written, TIME)
    except PydanticCustomError as refused:
        return refused.message()


@pytest.mark.parametrize(
    ("written", "share"),
    [("1.5 %", 0.015), ("1.5%", 0.015), (" .5 % ", 0.005), ("0 %", 0), ("100 %", 1), (0, 0), (0.0, 0)],
)
def test_shares_are_percentages(written: object, share: float) -> None:
    """A percentage is a share of one; nothing is nothing, with or without the sign."""
    assert parse_share(written) == pytest.approx(share, rel=1e-15)


@pytest.mark.parametrize("written", [0.015, 1, 15, "1.5", "-1 %", "2 % a day", "nan %", "1e2 %", False, None, []])
def test_what_might_mean_something_else_is_no_share(written: object) -> None:
    """0.015 may stand for 1.5 % or for 0.015 %, and 15 for 15 %: only the sign tells."""
    with pytest.raises(PydanticCustomError) as refused:
        parse_share(written)
    assert refused.value.message() == "not a share; expected a percentage such as '1.5 %'"


def test_decimal_comma_of_a_share_is_refused_with_what_to_write() -> None:
    """1,5 is a number in some countries and two in others."""
    with pytest.raises(PydanticCustomError) as refused:
        parse_share("1,5 %")
    assert refused.value.message() == f"{COMMA}; expected a percentage such as '1.5 %'"


@pytest.mark.parametrize("written", ["101 %", "100.01 %"])
def test_nothing_is_more_than_all(written: str) -> None:
    """A share ends at 100 %."""
    with pytest.raises(PydanticCustomError) as refused:
        parse_share(written)
    assert refused.value.message() == "more than all; expected a percentage from '0 %' to '100 %'"
