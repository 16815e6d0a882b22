"""Units at the border. Expected values come from the definitions of the units, or from pint."""

from __future__ import annotations

import math
import pickle
import subprocess
import sys

import numpy as np
import pint
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tubecalc.errors import InputError, near, unknown_key
from tubecalc.unit_tables import KINDS, parse_unit
from tubecalc.units import DISPLAY, Q_, in_unit, registry, show, to_si, to_si_array, unit_label

INCH, POUND, G0 = 0.0254, 0.45359237, 9.80665  # exact by definition (1959 agreement; 3rd CGPM)


def read(text: object, kind: str, **more: object) -> float:
    return to_si(text, kind, what="x", **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("10 mm", "length", 0.010),
        ("10mm", "length", 0.010),
        ("5/8 in", "length", 5 / 8 * INCH),
        ("1 1/2 in", "length", 1.5 * INCH),
        ("1-1/2 in", "length", 1.5 * INCH),
        ('3/4"', "length", 0.75 * INCH),
        ("1¼ in", "length", 1.25 * INCH),
        ("½″", "length", 0.5 * INCH),
        ("6'", "length", 72 * INCH),
        ("2' 6\"", "length", 30 * INCH),
        ("6'-0\"", "length", 72 * INCH),
        ("5' 7 1/2\"", "length", 67.5 * INCH),
        ("2 ft 6 in", "length", 30 * INCH),
        ('.058"', "length", 0.058 * INCH),
        ("1 500 mm", "length", 1.5),
        ("1\u202f500 mm", "length", 1.5),
        ("1\u2009500.5 mm", "length", 1.5005),
        ("12\u00a0mm", "length", 0.012),
        ("−5 mm", "length", -0.005),
        ("200 kgf", "force", 200 * G0),
        ("2 tf", "force", 2000 * G0),
        ("200 lbf", "force", 200 * POUND * G0),
        ("1.25e3 N", "force", 1250.0),
        ("5 daN", "force", 50.0),
        ("12 Nm", "torque", 12.0),
        ("12 N·m", "torque", 12.0),
        ("12 N m", "moment", 12.0),
        ("12 kN*m", "moment", 12000.0),
        ("10 ft-lbf", "torque", 10 * 12 * INCH * POUND * G0),
        ("10 lbf in", "torque", 10 * INCH * POUND * G0),
        ("36 ksi", "stress", 36e3 * POUND * G0 / INCH**2),
        ("10 Msi", "modulus", 10e6 * POUND * G0 / INCH**2),
        ("250 N/mm²", "stress", 250e6),
        ("6 bar", "pressure", 6e5),
        ("1.55 g/cm3", "density", 1550.0),
        ("1.55 g/cm³", "density", 1550.0),
        ("0.056 lb/in^3", "density", 0.056 * POUND / INCH**3),
        ("1 slug/in^3", "density", POUND * G0 / (12 * INCH) / INCH**3),
        ("60 degC", "temperature", 60.0),
        ("60 °C", "temperature", 60.0),
        ("60C", "temperature", 60.0),
        ("-20 °C", "temperature", -20.0),
        ("140 degF", "temperature", 60.0),
        ("293.15 K", "temperature", 20.0),
        ("72 degF", "temperature_difference", 40.0),
        ("40 degC", "temperature_difference", 40.0),
        ("40 K", "temperature_difference", 40.0),
        ("180 deg", "angle", math.pi),
        ("2°", "angle", math.radians(2)),
        ("60 rpm", "speed", 2 * math.pi),
        ("3 rad/s", "speed", 3.0),
        ("1 Hz", "speed", 2 * math.pi),
        ("50 Hz", "frequency", 50.0),
        ("3000 rpm", "frequency", 50.0),
        ("23 ppm/K", "expansion", 23e-6),
        ("23e-6 /K", "expansion", 23e-6),
        ("23e-6 1/K", "expansion", 23e-6),
        ("18 µm/m/K", "expansion", 18e-6),
        ("9 µin/in/°F", "expansion", 16.2e-6),
        ("10e-6/degF", "expansion", 18e-6),
        ("85 g/m", "linear_density", 0.085),
        ("2 lb/ft", "linear_density", 2 * POUND / (12 * INCH)),
        ("5 min", "time", 300.0),
        ("5 %", "ratio", 0.05),
        ("0.05", "ratio", 0.05),
        (0.05, "ratio", 0.05),
        (2, "number", 2.0),
        ("2", "number", 2.0),
        ("2 deg/m", "twist_rate", math.radians(2)),
        ("50 N/m", "line_load", 50.0),
        ("200 N/mm", "stiffness", 2e5),
        ("2 nautical_mile", "length", 3704.0),
        ("18 µm/(m K)", "expansion", 18e-6),
    ],
)
def test_text_is_read(text: object, kind: str, value: float) -> None:
    assert read(text, kind) == pytest.approx(value, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "kind", "part"),
    [
        ("10", "length", "no unit"),
        (10, "length", "without a unit"),
        (10.0, "force", "without a unit"),
        ("", "length", "is empty"),
        ("   ", "length", "is empty"),
        ("mm", "length", "does not start with a number"),
        ("1,5 mm", "length", "write 1.5 with a point"),
        (",5 mm", "length", "write .5 with a point"),
        ("1,500 mm", "length", "write 1500 or 1.500 without the comma"),
        ("1.234,5 mm", "length", "has commas"),
        ("1,234,567 N", "force", "has commas"),
        ("nan mm", "length", "not a finite number"),
        ("inf N", "force", "not a finite number"),
        ("1e999 mm", "length", "not a finite number"),
        (float("nan"), "number", "not a finite number"),
        (math.inf, "ratio", "not a finite number"),
        ("10 kg", "length", "which is a mass"),
        ("10 Pa", "force", "which is a stress"),
        ("2 kgf", "mass", '"2 kg"'),
        ("2 kg/m", "line_load", '"2 kgf/m" or "19.61 N/m"'),
        ("40 kg/mm2", "stress", '"40 kgf/mm2"'),
        ("10 ft-lb", "torque", '"10 ft-lbf"'),
        ("5 %", "angle", "a plain number"),
        ("10-12 mm", "length", "is not a unit"),
        ("10 mm + 2 mm", "length", "is not a unit"),
        ("10 +/- 0.1 mm", "length", "is not a unit"),
        ("1.5 & 2 m", "length", "is not a unit"),
        ("3 pcs", "length", "counts pieces"),
        ("1/0 in", "length", "divides by zero"),
        ("2' 14\"", "length", "is not feet and inches"),
        ("5 tons", "force", "short, long or metric"),
        ("1.2.3 mm", "length", "does not start with a number"),
        ("5 1/s", "speed", "give a speed of rotation"),
        (None, "length", "None"),
        (True, "number", "True"),
        (["10 mm"], "length", "got list"),
        ("__import__('os') mm", "length", "does not start with a number"),
        ("1 __import__('os')", "length", "is not a unit"),
    ],
)
def test_bad_input_is_refused_in_one_sentence(text: object, kind: str, part: str) -> None:
    with pytest.raises(InputError) as caught:
        to_si(text, kind, what="span", where="need.toml:case 2")
    sentence = str(caught.value)
    assert part in sentence
    assert sentence.startswith("need.toml:case 2:span: ")
    assert sentence.endswith(".")
    assert "\n" not in sentence


def test_mass_for_a_force_says_what_to_write() -> None:
    with pytest.raises(InputError) as caught:
        to_si("200 kg", "force", what="load", where="need.toml:case 2")
    assert str(caught.value) == (
        'need.toml:case 2:load: got "200 kg", which is a mass; '
        'give a force, for example "200 kgf" or "1961 N".'
    )


@pytest.mark.parametrize("text", ["0 mm", "-1 mm"])
def test_positive_refuses_zero_and_negative(text: str) -> None:
    assert read(text, "length") <= 0
    with pytest.raises(InputError, match="above zero"):
        read(text, "length", positive=True)


def test_unknown_kind_names_the_near_one() -> None:
    with pytest.raises(InputError, match='did you mean "length"'):
        read("1 mm", "lenght")


SAMPLE = {
    "length": ["mm", "cm", "m", "in", "ft", "um", "thou", "yd"],
    "force": ["N", "kN", "daN", "kgf", "lbf", "tf", "gf", "kp", "kip", "ozf", "kg*m/s^2"],
    "moment": ["N m", "N*m", "Nm", "kN m", "lbf in", "lbf ft", "N mm", "kgf m"],
    "stress": ["Pa", "MPa", "GPa", "ksi", "psi", "bar", "Msi", "N/mm2", "kgf/mm^2", "kPa"],
    "mass": ["kg", "g", "lb", "oz", "t", "slug", "mg"],
    "density": ["g/cm3", "kg/m3", "lb/in3", "slug/in^3", "kg/m^3", "lb/ft^3"],
    "linear_density": ["g/m", "kg/m", "lb/ft", "lb/in"],
    "angle": ["deg", "rad", "mrad", "rev"],
    "frequency": ["Hz", "kHz", "1/s"],
    "speed": ["rpm", "rad/s", "deg/s"],
    "expansion": ["1/K", "ppm/K", "1/degC", "um/m/K", "1/degF"],
    "time": ["s", "ms", "min", "h"],
    "line_load": ["N/m", "N/mm", "lbf/in", "kgf/m"],
    "twist_rate": ["rad/m", "deg/m", "deg/ft"],
    "stiffness": ["N/m", "N/mm", "lbf/in"],
    "area": ["mm2", "cm^2", "in2"],
    "bending_stiffness": ["N m2", "N*m^2", "lbf in^2"],
}
PAIRS = [(kind, unit) for kind, units in SAMPLE.items() for unit in units]


USUAL = st.floats(1e-3, 1e5) | st.floats(-1e5, -1e-3) | st.just(0.0)


@pytest.mark.parametrize("text", ["1e300 mm", "1e-300 mm", "-1e21 m", "1e18 km"])
def test_sizes_beyond_computing_are_refused(text: str) -> None:
    with pytest.raises(InputError, match="x: is beyond any size that is computed here"):
        read(text, "length")


def test_temperature_below_absolute_zero_is_refused() -> None:
    with pytest.raises(InputError, match="x: is below absolute zero"):
        read("-300 degC", "temperature")


@given(st.sampled_from(PAIRS), USUAL)
def test_fast_path_equals_pint(pair: tuple[str, str], number: float) -> None:
    kind, unit = pair
    assert parse_unit(unit) is not None, "the fast path must read this unit without pint"
    expected = Q_(number, unit).to_root_units().to(registry().parse_units(KINDS[kind].unit))
    assert read(f"{number!r} {unit}", kind) == pytest.approx(float(expected.magnitude), rel=1e-12)
    assert read(Q_(number, unit), kind) == pytest.approx(float(expected.magnitude), rel=1e-12)


@given(st.sampled_from(["degC", "degF", "K"]), st.floats(-200, 2000))
def test_temperatures_equal_pint(unit: str, number: float) -> None:
    expected = Q_(number, unit).to("degC").magnitude
    assume(expected > -273.15)
    assert read(f"{number!r} {unit}", "temperature") == pytest.approx(expected, abs=1e-7)
    assert read(Q_(number, unit), "temperature") == pytest.approx(expected, abs=1e-7)


def answer(text: str, kind: str) -> str:
    """Give what a user sees: a finite number or one sentence; anything else fails the test."""
    try:
        value = read(text, kind)
    except InputError as error:
        return str(error)
    return "finite" if math.isfinite(value) else "not finite"


@given(st.text(max_size=30), st.sampled_from(sorted(KINDS)))
def test_any_text_gives_a_finite_number_or_a_sentence(text: str, kind: str) -> None:
    said = answer(text, kind)
    assert said == "finite" or (said.startswith("x: ") and "\n" not in said)


@given(
    st.from_regex(r"[0-9]{1,3}[ ,.'/-]?[0-9]{0,3} ?[a-zA-Z°%µ\"'/*^0-9]{0,6}", fullmatch=True),
    st.sampled_from(sorted(KINDS)),
)
def test_nearly_right_text_gives_a_number_or_a_sentence(text: str, kind: str) -> None:
    said = answer(text, kind)
    assert said == "finite" or (said.startswith("x: ") and "\n" not in said)


def test_quantities_of_another_registry_are_read() -> None:
    other = pint.UnitRegistry()
    assert read(other.Quantity(10, "mm"), "length") == pytest.approx(0.01)
    assert read(other.Quantity(60, "degC"), "temperature") == pytest.approx(60)
    assert read(other.Quantity(5, "delta_degC"), "temperature_difference") == pytest.approx(5)
    with pytest.raises(InputError, match="temperature difference"):
        read(other.Quantity(5, "delta_degC"), "temperature")
    with pytest.raises(InputError, match="which is a mass"):
        read(other.Quantity(5, "kg"), "force")
    with pytest.raises(InputError, match="several values"):
        read(other.Quantity(np.array([1.0, 2.0]), "mm"), "length")


def test_Q_reads_text_units_of_the_trade_and_arrays() -> None:
    assert Q_("5/8 in").to("mm").magnitude == pytest.approx(15.875)
    assert Q_(12, "Nm").to("N*m").magnitude == pytest.approx(12)
    assert Q_(1, "Msi").to("psi").magnitude == pytest.approx(1e6)
    assert Q_([10, 20], "mm").to("m").magnitude.tolist() == [0.01, 0.02]
    assert Q_(3).dimensionless
    with pytest.raises(InputError, match="not a unit known"):
        Q_(1, "wibble")


def test_arrays() -> None:
    assert to_si_array("10 mm", "length", what="od").tolist() == [0.01]
    assert to_si_array(["10 mm", Q_(1, "in")], "length", what="od").tolist() == [0.01, 0.0254]
    assert to_si_array(Q_([10, 20], "mm"), "length", what="od").tolist() == [0.01, 0.02]
    assert to_si_array([1, 2], "number", what="n").tolist() == [1.0, 2.0]
    assert to_si_array(np.array([1, 2]), "number", what="n").dtype == np.float64
    with pytest.raises(InputError, match=r'od\[1\]: "5" has no unit; give a length'):
        to_si_array(["10 mm", "5"], "length", what="od")
    with pytest.raises(InputError, match=r"od\[0\]: got 1.0 without a unit"):
        to_si_array(np.array([1.0]), "length", what="od")
    with pytest.raises(InputError, match="is empty"):
        to_si_array([], "length", what="od")
    with pytest.raises(InputError, match="finite"):
        to_si_array(Q_([10, math.nan], "mm"), "length", what="od")
    with pytest.raises(InputError, match="above zero"):
        to_si_array(Q_([10, 0], "mm"), "length", what="od", positive=True)


def test_ordinary_text_does_not_import_pint() -> None:
    code = (
        "import sys; from tubecalc.units import to_si, show;"
        "to_si('5/8 in','length',what='x'); to_si('200 kgf','force',what='x');"
        "to_si('60 degC','temperature',what='x'); show(1.0,'length');"
        "print('pint' in sys.modules)"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "False"


@pytest.mark.parametrize("system", sorted(DISPLAY))
@pytest.mark.parametrize("kind", sorted(KINDS))
@given(st.floats(1e-5, 1e9))
def test_what_is_shown_reads_back(kind: str, system: str, number: float) -> None:
    value = read(f"{number!r} {unit_label(kind, system)}", kind)
    assert in_unit(value, kind, system) == pytest.approx(number, rel=1e-9, abs=1e-8)
    again = in_unit(read(show(value, kind, system), kind), kind, system)
    two_digits, four_digits = 0.05, 0.0005
    rough = number < 10 ** (3 - DISPLAY[system][kind].decimals)
    assert again == pytest.approx(number, rel=two_digits if rough else four_digits, abs=1e-6)


@pytest.mark.parametrize(
    ("value", "kind", "system", "text"),
    [
        (1.2, "length", "SI", "1_200 mm"),
        (0.0254, "length", "SI", "25.4 mm"),
        (0.0015875, "length", "SI", "1.59 mm"),
        (0.0254, "length", "inch", "1 in"),
        (200 * G0, "force", "workshop", "200 kgf"),
        (200 * POUND * G0, "force", "inch", "200 lbf"),
        (1234567.0, "force", "SI", "1_234_567 N"),
        (-60.0, "force", "SI", "-60 N"),
        (2.5e8, "stress", "SI", "250 MPa"),
        (1.25e11, "modulus", "SI", "125 GPa"),
        (0.4, "mass", "SI", "0.4 kg"),
        (0.4, "mass", "workshop", "400 g"),
        (60.0, "temperature", "inch", "140 °F"),
        (0.085, "linear_density", "SI", "85 g/m"),
        (1e-7, "length", "SI", "0.0001 mm"),
        (0.0, "length", "SI", "0 mm"),
        (math.nan, "length", "SI", "–"),
        (math.inf, "length", "SI", "∞ mm"),
        (0.05, "ratio", "SI", "5 %"),
        (1.5, "number", "SI", "1.5"),
        (100 * math.pi, "speed", "SI", "3_000 rpm"),
    ],
)
def test_shown_text(value: float, kind: str, system: str, text: str) -> None:
    assert show(value, kind, system) == text.replace("_", "\u202f")


def test_labels_and_unknown_systems() -> None:
    assert [unit_label("force", s) for s in ("SI", "workshop", "inch")] == ["N", "kgf", "lbf"]
    assert all(set(table) == set(KINDS) for table in DISPLAY.values())
    with pytest.raises(InputError, match='did you mean "inch"'):
        show(1.0, "length", "inches")
    with pytest.raises(InputError, match="unknown kind"):
        unit_label("colour")


def test_error_sentence_does_not_repeat_itself_and_survives_pickling() -> None:
    error = InputError('the "3 kg" is wrong', where="a:b", got="3 kg", expected="a length")
    assert str(error) == 'a:b: the "3 kg" is wrong, expected a length.'
    again = pickle.loads(pickle.dumps(error))
    assert (str(again), again.where, again.got) == (str(error), "a:b", "3 kg")
    assert isinstance(error, ValueError)


def test_unknown_key_lists_the_known() -> None:
    error = unknown_key("metal", "zinc", ["b", "a"], "need.toml:case 1")
    assert str(error) == 'need.toml:case 1: unknown metal "zinc"; known: a, b.'
    assert near("ROLL_wrapped", ["roll-wrapped"]) == 'did you mean "roll-wrapped"?'
