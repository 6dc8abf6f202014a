"""Quantities as people write them."""

from __future__ import annotations

import pytest

from kbgen.quantity import DIMENSIONS, QuantityError, parse


@pytest.mark.parametrize(
    ("text", "dimension", "lo", "value", "hi", "unit"),
    [
        ("24 V", "voltage", 24, 24, 24, "V"),
        ("24V", "voltage", 24, 24, 24, "V"),
        ("500 mV", "voltage", 0.5, 0.5, 0.5, "mV"),
        ("20 V to 28 V", "voltage", 20, 24, 28, "V"),
        ("20–28 V", "voltage", 20, 24, 28, "V"),
        ("20-28 V", "voltage", 20, 24, 28, "V"),
        ("20 to 28 V", "voltage", 20, 24, 28, "V"),
        ("120 V ± 10 %", "voltage", 108, 120, 132, "V"),
        ("24 V ± 2 V", "voltage", 22, 24, 26, "V"),
        ("24 V +10 % -15 %", "voltage", 20.4, 24, 26.4, "V"),
        ("24 V +10/-15 %", "voltage", 20.4, 24, 26.4, "V"),
        ("2 µA", "current", 2e-6, 2e-6, 2e-6, "µA"),
        ("2 \u03bcA", "current", 2e-6, 2e-6, 2e-6, "µA"),
        ("5 k\u03a9", "resistance", 5e3, 5e3, 5e3, "kΩ"),
        ("5 k\u2126", "resistance", 5e3, 5e3, 5e3, "kΩ"),
        ("47 ohm", "resistance", 47, 47, 47, "ohm"),
        ("2.2 kΩ ± 5 %", "resistance", 2090, 2200, 2310, "kΩ"),
        ("1 nF", "capacitance", 1e-9, 1e-9, 1e-9, "nF"),
        ("4 min to 6 min", "time", 240, 300, 360, "min"),
        ("90 s to 2 min", "time", 90, 105, 120, "min"),
        ("-10 °C to -5 °C", "temperature", -10, -7.5, -5, "°C"),
        ("−5 °C", "temperature", -5, -5, -5, "°C"),
        ("212 °F", "temperature", 100, 100, 100, "°F"),
        ("212 °F ± 9 °F", "temperature", 95, 100, 105, "°F"),
        ("1 psi", "pressure", 6894.757, 6894.757, 6894.757, "psi"),
        ("1 in w.c.", "pressure", 249.08891, 249.08891, 249.08891, "in w.c."),
        ("10 mm H2O to 20 mm H2O", "pressure", 98.0665, 147.09975, 196.133, "mm H2O"),
        ("60 Hz", "frequency", 60, 60, 60, "Hz"),
        ("40 VA", "power", 40, 40, 40, "VA"),
        ("12 m", "length", 12, 12, 12, "m"),
        ("10 %", "percent", 10, 10, 10, "%"),
        ("40 % ± 5 %", "percent", 35, 40, 45, "%"),
        ("36 m3/h", "flow", 0.01, 0.01, 0.01, "m3/h"),
        ("3", "count", 3, 3, 3, ""),
    ],
)
def test_a_quantity_is_read_in_base_units(
    text: str, dimension: str, lo: float, value: float, hi: float, unit: str
) -> None:
    quantity = parse(text, dimension)
    assert (quantity.lo, quantity.value, quantity.hi) == pytest.approx((lo, value, hi))
    assert (quantity.unit, quantity.text) == (unit, text)


@pytest.mark.parametrize(
    ("text", "dimension", "words"),
    [
        ("24", "voltage", "`24` has no unit; Write a number and its unit: V, mV or kV."),
        ("12 A", "voltage", "`A` is not a unit of voltage"),
        ("24 v", "voltage", "`v` is not a unit of voltage; Write `24 V`."),
        ("about 24 V", "voltage", "does not start with a number"),
        ("28 V to 20 V", "voltage", "Put the smaller value first."),
        ("1,200 V", "voltage", "comma between digits"),
        ("1,5 V", "voltage", "comma between digits"),
        ("1e3 V", "voltage", "is not a unit"),
        ("3/4 in", "length", "is not a unit"),
        ("24 V ± -2 V", "voltage", "negative tolerance"),
        ("", "time", "there is no value"),
        ("9" * 400 + " V", "voltage", "Write a number and its unit"),
        ("\u0663 V", "voltage", "does not start with a number"),
        ("many", "count", "Write a number."),
        ("-25 min", "time", "`-25 min` is less than nothing; Write it without the minus sign."),
        ("-1 s to 5 s", "time", "is less than nothing"),
        ("−50 Ω", "resistance", "is less than nothing"),
        ("-60 Hz", "frequency", "is less than nothing"),
        ("-2", "count", "is less than nothing"),
    ],
)
def test_what_is_no_quantity_says_what_to_type(text: str, dimension: str, words: str) -> None:
    with pytest.raises(QuantityError) as raised:
        parse(text, dimension)
    said = f"{raised.value.message}; {raised.value.hint}"
    assert words in said
    assert len(said) < 250


@pytest.mark.parametrize("dimension", DIMENSIONS)
def test_every_unit_is_read_with_and_without_a_blank(dimension: str) -> None:
    for unit in DIMENSIONS[dimension].units:
        assert parse(f"2 {unit}", dimension).value == parse(f"2{unit}", dimension).value
        assert parse(f"1 {unit} to 2 {unit}", dimension).hi == parse(f"2 {unit}", dimension).value


@pytest.mark.parametrize(
    ("text", "dimension", "right"),
    [
        ("24v", "voltage", "24 V"),
        ("24v ± 10 %", "voltage", "24 V ± 10 %"),
        ("24v +/- 10%", "voltage", "24 V +/- 10 %"),
        ("1 Bar", "pressure", "1 bar"),
        ("5 MIN", "time", "5 min"),
        ("250 kpa", "pressure", "250 kPa"),
        ("2 hrs", "time", "2 h"),
        ("1/2 in", "length", "0.5 in"),
        ("1 1/2 in", "length", "1.5 in"),
        ("1-1/2 in", "length", "1.5 in"),
        ("½ in", "length", "0.5 in"),
        ("1 h 10 min", "time", "70 min"),
        ("2min30s", "time", "150 s"),
        ("20v to 28v", "voltage", "20 V to 28 V"),
        ("3 secs to 8 secs", "time", "3 s to 8 s"),
        ("100 deg C", "temperature", "100 °C"),
        ("1e3 V", "voltage", "1000 V"),
        ("- 5 V", "voltage", "-5 V"),
        ("24 volts dc", "voltage", "24 V DC"),
        ("47 OHMS", "resistance", "47 ohms"),
        ("24 V.", "voltage", "24 V"),
    ],
)
def test_another_way_of_writing_gets_the_right_spelling(text: str, dimension: str, right: str) -> None:
    with pytest.raises(QuantityError) as raised:
        parse(text, dimension)
    assert raised.value.hint == f"Write `{right}`."
    parse(right, dimension)


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("2 MA", "current"),
        ("2 mw", "power"),
        ("5 mpa", "pressure"),
        ("1/3 in", "length"),
        ("10 min 1 h", "time"),
    ],
)
def test_where_two_could_be_meant_nothing_is_proposed(text: str, dimension: str) -> None:
    with pytest.raises(QuantityError) as raised:
        parse(text, dimension)
    assert "number and its unit" in raised.value.hint


@pytest.mark.parametrize(
    ("text", "dimension", "words"),
    [
        ("-300 °C", "temperature", "no temperature is as low as `-300 °C`"),
        ("-500 °F", "temperature", "as low as"),
        ("-5 bar", "pressure", "as low as"),
        ("999999999 d", "time", "no time is as large as `999999999 d`"),
        ("99999999999 V", "voltage", "as large as"),
        ("120 V to 99999999 V", "voltage", "as large as"),
        ("999999 °C", "temperature", "as large as"),
    ],
)
def test_what_cannot_be_is_refused(text: str, dimension: str, words: str) -> None:
    with pytest.raises(QuantityError) as raised:
        parse(text, dimension)
    assert words in raised.value.message


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("-273 °C", "temperature"),
        ("-1 bar", "pressure"),
        ("-200 Pa", "pressure"),
        ("50 MΩ", "resistance"),
        ("10 kV", "voltage"),
    ],
)
def test_what_can_be_is_read(text: str, dimension: str) -> None:
    assert parse(text, dimension).text == text
