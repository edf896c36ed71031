"""What photographers write, read as numbers; and numbers written as they read them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.errors import QuantityError
from darkroom.process.text import durations, humidity, measures, numbers, temperatures


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("3:30", 210), ("0:15", 15), ("1:02:05", 3725), ("90:00", 5400), ("0:00.5", 0.5),
        ("15 s", 15), ("15s", 15), ("2 min", 120), ("2min", 120), ("3 min 30 s", 210), ("3m30s", 210),
        ("1 h 2 min 5 s", 3725), ("1/2 min", 30), ("1 1/2 min", 90), ("½ min", 30), ("2½ min", 150),
        ("1.5 min", 90), (".5 s", 0.5), ("4 minutes 30 seconds", 270), ("24 h", 86400), ("0.1 s", 0.1),
    ],
)  # fmt: skip
def test_durations_are_read_as_they_are_written(text: str, seconds: float) -> None:
    """Every usual way to write a time gives its seconds."""
    assert seconds == pytest.approx(durations.duration(text), abs=1e-12)


@pytest.mark.parametrize(
    ("text", "phrase"),
    [
        ("", "nothing is written"), ("15", "has no unit"), ("-15 s", "is negative"), ("−15 s", "is negative"),
        ("nan", "not a finite number"), ("inf", "not a finite number"), ("∞", "not a finite number"),
        (".inf s", "not a finite number"), ("1e3 s", "exponent"), ("2,5 s", "comma"), ("1,000 s", "comma"),
        ("25 h", "too long"), ("0 s", "too short"), ("0.05 s", "too short"), ("1/0 s", "divides by nothing"),
        ("3:75", "below 60"), ("1:75:00", "below 60"), ("3 parsecs", "cannot be read"),
        ("30 s 2 min", "hours come before minutes"), ("2 min 90 s", "less than 60"),
        ("2 min 2 min", "hours come"), ("soon", "cannot be read"), ("١٥ s", "cannot be read"),
        ("3 : 30", "cannot be read"), ("12/ s", "read"), ("99999999999999999999 h", "cannot be read"),
    ],
)  # fmt: skip
def test_what_is_no_duration_is_refused_with_its_reason(text: str, phrase: str) -> None:
    """A time that cannot be meant is refused, and the error says why and what was expected."""
    with pytest.raises(QuantityError, match=phrase):
        durations.duration(text)


def test_the_range_of_a_duration_is_the_callers_to_set() -> None:
    """A caller may allow nothing at all, or forbid what is usually allowed."""
    assert durations.duration("0 s", least=0) == 0
    with pytest.raises(QuantityError, match=r"between 0\.1 s and 1 min"):
        durations.duration("2 min", most=60)


@pytest.mark.parametrize(
    ("text", "celsius"),
    [
        ("20C", 20), ("20 °C", 20), ("20°C", 20), ("20 ºC", 20), ("20 deg C", 20), ("-5 °C", -5),
        ("−5 °C", -5),
        ("68F", 20), ("68 °F", 20), ("32 °F", 0), ("212 °F", 100), ("20.5 celsius", 20.5), ("20 ℃", 20),
    ],
)  # fmt: skip
def test_temperatures_are_read_in_either_scale(text: str, celsius: float) -> None:
    """Celsius and Fahrenheit are read as written; 68 °F is 20 °C and not 68 farads."""
    assert celsius == pytest.approx(temperatures.temperature(text))


@pytest.mark.parametrize(
    ("text", "phrase"),
    [
        ("20", "has no unit"), ("20 K", "cannot be read"), ("900 °C", "absurd"), ("-80 °C", "absurd"),
        ("warm", "cannot be read"), ("nan C", "not a finite number"), ("20 C 30", "cannot be read"),
    ],
)  # fmt: skip
def test_what_is_no_temperature_is_refused(text: str, phrase: str) -> None:
    """A temperature without a scale, or beyond any darkroom, is refused."""
    with pytest.raises(QuantityError, match=phrase):
        temperatures.temperature(text)


def test_per_cent_lies_between_nothing_and_a_hundred() -> None:
    """Per cent is read with or without its sign, as the caller allows, and never beyond 100."""
    assert numbers.percent("50 %") == numbers.percent("50") == numbers.percent("50 per cent") == 50
    with pytest.raises(QuantityError, match="no unit"):
        numbers.percent("50", bare=False)
    for text in ("101 %", "-1 %", "50 g"):
        with pytest.raises(QuantityError, match="0 and 100"):
            numbers.percent(text)


@pytest.mark.parametrize(
    ("text", "percent"),
    [
        ("damp", 80), ("ordinary", 50), ("dry", 30), ("very dry", 20), ("Very  Dry", 20), (" DAMP ", 80),
        ("55", 55), ("55 %", 55), ("55 per cent", 55), ("½ %", 0.5),
    ],
)  # fmt: skip
def test_humidity_is_read_as_a_number_or_a_word(text: str, percent: float) -> None:
    """A room without a hygrometer is damp, ordinary, dry or very dry; the words are common practice."""
    assert percent == humidity.humidity(text)


@pytest.mark.parametrize(
    ("text", "phrase"),
    [
        ("drry", r"did you mean 'dry'\?"), ("very-dry", r"did you mean 'very dry'\?"),
        ("wet", "expected per cent such as 50 %, or damp, ordinary, dry, very dry"),
        ("101 %", "between 0 and 100"), ("50 g", "cannot be read"), ("", "nothing is written here"),
        ("nan", "is no humidity"),
    ],
)  # fmt: skip
def test_what_is_no_humidity_is_refused_with_the_words_there_are(text: str, phrase: str) -> None:
    """A wrong word brings the nearest right one, a wrong number its range."""
    with pytest.raises(QuantityError, match=phrase):
        humidity.humidity(text)


def test_a_file_writes_humidity_with_its_unit_or_as_a_word() -> None:
    """Where a unit is due a bare number is refused, a word is not."""
    assert humidity.humidity("dry", bare=False) == 30
    with pytest.raises(QuantityError, match="has no unit"):
        humidity.humidity("50", bare=False)


@pytest.mark.parametrize(
    ("seconds", "clock", "words"),
    [
        (0, "0:00", "0 s"), (15, "0:15", "15 s"), (210, "3:30", "3 min 30 s"), (60, "1:00", "1 min"),
        (3725, "1:02:05", "1 h 2 min 5 s"), (3600, "1:00:00", "1 h"), (2.5, "0:03", "2.5 s"),
        (59.7, "1:00", "1 min"), (9.97, "0:10", "10 s"), (-5, "-0:05", "minus 5 s"),
        (-0.2, "0:00", "minus 0.2 s"),
    ],
)  # fmt: skip
def test_durations_are_shown_and_said(seconds: float, clock: str, words: str) -> None:
    """A clock shows whole seconds; words keep the tenths of short times."""
    assert clock == durations.show_duration(seconds)
    assert words == durations.say_duration(seconds)


@given(st.integers(1, 86400))
def test_a_said_duration_is_read_back(seconds: int) -> None:
    """What is said of a whole number of seconds is read as the same number."""
    assert seconds == durations.duration(durations.say_duration(seconds))
    assert seconds == durations.duration(durations.show_duration(seconds))


@given(st.text(max_size=30))
def test_no_text_breaks_a_reader(text: str) -> None:
    """Any text is either a finite quantity or a QuantityError whose words a terminal can show."""
    readers = (
        durations.duration,
        temperatures.temperature,
        numbers.percent,
        humidity.humidity,
        measures.volume,
        measures.mass,
        measures.length,
        measures.flow,
        measures.concentration,
    )
    for reader in readers:
        try:
            assert math.isfinite(reader(text))
        except QuantityError as error:
            assert str(error).isprintable()


@pytest.mark.parametrize(
    ("celsius", "text"), [(20, "20 °C"), (19.96, "20 °C"), (19.54, "19.5 °C"), (-0.01, "0 °C")]
)
def test_temperatures_are_shown_to_a_tenth(celsius: float, text: str) -> None:
    """A temperature is shown to a tenth of a degree, and never as minus nothing."""
    assert text == temperatures.show_celsius(celsius)


def test_an_open_ounce_is_asked_for_or_taken_and_named() -> None:
    """An ounce that may be two things is refused with the question, or taken as told and named."""
    with pytest.raises(QuantityError, match="leaves open which fluid ounce"):
        measures.volume("1/2 oz")
    with pytest.raises(QuantityError, match="leaves open which ounce"):
        measures.mass("1 oz")
    with pytest.raises(QuantityError, match="leaves open"):
        measures.concentration("40 gr/oz")
    taken = measures.read("40 gr/oz", "concentration", fluid="imperial")
    assert taken.took == "grain of 0.0648 g; imperial fluid ounce"
    assert measures.read("1 oz", "mass", solid="apothecaries").took == "apothecaries ounce"
    assert measures.read("1/2 US fl oz", "volume").took == "US fluid ounce"
    assert measures.read("5 mL", "volume").took is None


@pytest.mark.parametrize(
    ("kind", "text", "phrase"),
    [
        ("volume", "5 litr", "did you mean 'litre'"), ("volume", "5", "has no unit"),
        ("volume", "-5 mL", "negative"),
        ("volume", "0 mL", "absurd"), ("mass", "20 C", "not known here"), ("mass", "99999999 kg", "absurd"),
        ("flow", "2 L", "cannot be read"), ("flow", "2 L/fortnight", "cannot be read"),
        ("length", "8", "no unit"),
        ("concentration", "9 g", "cannot be read"), ("concentration", "9 g/0 mL", "cannot be read"),
        ("concentration", "1:4", "cannot be read"), ("mass", "__import__('os') g", "cannot be read"),
    ],
)  # fmt: skip
def test_what_is_no_measure_is_refused(kind: measures.Kind, text: str, phrase: str) -> None:
    """A measure of another kind, without unit, or beyond sense is refused with its reason."""
    with pytest.raises(QuantityError, match=phrase):
        measures.read(text, kind)


def test_units_in_daily_use_need_no_library(monkeypatch: pytest.MonkeyPatch) -> None:
    """Millilitres, grams, inches, grains, ounces, drachms and minims need no units library; scruples do."""

    def absent() -> None:
        raise AssertionError("the library was asked for")

    monkeypatch.setattr(measures, "_pint", absent)
    assert measures.volume("0.2 L") == 200
    assert measures.concentration("9 g/100 mL") == pytest.approx(90)
    assert measures.flow("2 L/min") == pytest.approx(2000 / 60)
    assert measures.length("21 cm") == 210
    assert measures.length("8 in") == pytest.approx(203.2)
    assert measures.length("1 ft") == pytest.approx(304.8)
    for weight in ("8 gr", "1 av oz", "1 ap oz", "2 drachms"):
        assert measures.mass(weight) > 0
    for volume in ("1 US fl oz", "1 imp fl oz", "1 US pint", "2 imperial drachms", "90 US minims"):
        assert measures.volume(volume) > 0
    with pytest.raises(AssertionError):
        measures.mass("8 scruples")


@pytest.mark.parametrize(
    ("text", "percent"),
    [("9", 9.0), ("9 %", 9.0), (" 8.5 ", 8.5), ("90 g/L", 9.0), ("40 gr/US fl oz", 8.7645)],
)
def test_a_strength_is_typed_in_any_unit_and_bare_in_per_cent(text: str, percent: float) -> None:
    """Commands and forms read it alike; 40 grains to the US ounce: exact definitions of grain and ounce."""
    assert measures.typed_percent(text) == pytest.approx(percent, abs=1e-4)


@pytest.mark.parametrize("text", ["", "0", "-9", "101", "8,5", "9 apples", "1200 g/L", "9 °C"])
def test_no_strength_is_refused(text: str) -> None:
    """Nothing, less than nothing, more than 100 %, another quantity."""
    with pytest.raises(QuantityError):
        measures.typed_percent(text)


def test_in_a_file_a_strength_has_its_unit() -> None:
    """A bare number is refused there: which unit it has, the file must say."""
    assert measures.percent_wv("9 %") == pytest.approx(9.0)
    with pytest.raises(QuantityError):
        measures.percent_wv("9")
