"""Lengths and angles as people write them. Inches exist only here; everywhere else a bare float is mm or degrees.

Length    a number and a unit: `0.5 mm`, `1.2 cm`, `0.020 in`, `20 thou`, `3/16"`, `1 1/8 in`.
Measured  a length and how sure it is: `0.95 mm +- 0.02` (one standard deviation, in the same unit unless it names one).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, log10
from typing import Literal

from gasketcut.errors import LengthError

IN = 25.4
UNITS: dict[str, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "in": Fraction("25.4"),
    '"': Fraction("25.4"),
    "thou": Fraction("0.0254"),
}
JOB_UNITS = ("mm", "in")
Units = Literal["mm", "in"]
PT = 72 / 25.4
"""Points of type, and user units of a PDF, in a millimetre."""

_NUMBER = r"(?:(?P<whole>\d+)[ ]+(?P<wnum>\d+)/(?P<wden>\d+)|(?P<num>\d+)/(?P<den>\d+)|(?P<decimal>\d+\.?\d*|\.\d+))"
_QUANTITY = re.compile(rf"(?P<sign>[+-]?)[ ]*{_NUMBER}[ ]*(?P<unit>[A-Za-zµ°\"'″]*)", re.ASCII)
_LONGEST_TEXT = 60


@dataclass(frozen=True, slots=True)
class Measured:
    """A length [mm] and its standard deviation [mm]; 0 when nobody said how sure it is."""

    value: float
    sigma: float = 0.0


def parse_length(text: str, bare_unit: str | None = None) -> float:
    """Return the length in mm; raise `LengthError` with what to write instead.

    bare_unit : unit of a number that carries none, or None to refuse it

    Nothing is evaluated and the sum is done in fractions, so `0.020 in` is the float 0.508 itself.

    >>> parse_length("0.020 in"), parse_length("1 1/8 in"), parse_length("20 thou")
    (0.508, 28.575, 0.508)
    """
    number, unit = _split(text, bare_unit)
    return float(number * UNITS[unit])


def parse_measured(text: str, bare_unit: str | None = None) -> Measured:
    """Return value and standard deviation in mm from `0.95 mm +- 0.02`.

    >>> parse_measured("0.95 mm +- 0.02")
    Measured(value=0.95, sigma=0.02)
    """
    first, mark, second = text.replace("±", "+-").partition("+-")
    number, unit = _split(first, bare_unit)
    if not mark:
        return Measured(float(number * UNITS[unit]))
    sigma = parse_length(second.strip(), bare_unit=unit)
    if sigma < 0:
        raise LengthError(text, "the part after '+-' cannot be negative")
    return Measured(float(number * UNITS[unit]), sigma)


def parse_angle(text: str) -> float:
    """Return the angle in degrees from `103 deg`; raise `LengthError` otherwise.

    >>> parse_angle("22.5 deg")
    22.5
    """
    match = _QUANTITY.fullmatch(_plain(text))
    if match is None:
        raise LengthError(text, _why_not(text, 'an angle such as "30 deg"'))
    unit = match["unit"].lower()
    if unit in UNITS:  # never the same number in degrees: 14.2 mm of travel is no opening at 14.2 deg
        raise LengthError(text, 'is a length, and here an angle is asked, such as "103 deg"')
    if unit not in ("deg", "°"):
        raise LengthError(text, f'write an angle in degrees, e.g. "{match[0].removesuffix(match["unit"]).strip()} deg"')
    return float(_value(match, text))


def length_of(number: float, unit: str) -> float:
    """A bare number in mm, through the same fractions as a text, so that 0.02 in either way is the same float.

    >>> length_of(0.02, "in")
    0.508
    """
    return float(Fraction(repr(number)) * UNITS[unit])


def is_length(text: str, bare_unit: str | None = None) -> bool:
    """Can the text be taken as a length?"""
    try:
        parse_length(text, bare_unit)
    except LengthError:
        return False
    return True


def both(mm: float, decimals: int = 2) -> str:
    """The length in both systems, as it is printed everywhere.

    >>> both(0.508, 3)
    '0.508 mm (0.0200 in)'
    """
    return f"{mm:.{decimals}f} mm ({mm / IN:.{decimals + 1}f} in)".replace("-0.00 ", "0.00 ")


def places(sigma: float) -> int:
    """Decimals of a length in mm that its uncertainty carries: two to four, two where nobody said how sure it is.

    >>> places(0.02), places(0.004), places(0.0)
    (2, 3, 2)
    """
    return min(4, max(2, ceil(-log10(sigma) - 0.01))) if sigma > 0 else 2


def span(low: float, high: float, decimals: int = 2) -> str:
    """From one length to another in both systems; one length where they print alike.

    >>> span(0.51, 0.53), span(1.0, 1.0)
    ('0.51 to 0.53 mm (0.020 to 0.021 in)', '1.00 mm (0.039 in)')
    """
    first, last = f"{low:.{decimals}f}", f"{high:.{decimals}f}"
    if first == last:
        return both(low, decimals)
    return f"{first} to {last} mm ({low / IN:.{decimals + 1}f} to {high / IN:.{decimals + 1}f} in)"


def box(width: float, height: float, decimals: int = 1) -> str:
    """Width by height in both systems.

    >>> box(80.0, 50.8)
    '80.0 x 50.8 mm (3.15 x 2.00 in)'
    """
    more = decimals + 1
    return f"{width:.{decimals}f} x {height:.{decimals}f} mm ({width / IN:.{more}f} x {height / IN:.{more}f} in)"


_SAID = r"[-+]?\d[\d.,]*(?:(?:\s+to|\s+x|,)\s+[-+]?\d[\d.,]*)*"  # where a line was broken, too
_ORDER: dict[Units, re.Pattern[str]] = {
    "in": re.compile(rf"({_SAID})(\s+)(mm)(\s+)\(({_SAID})(\s+)(in)\)"),
    "mm": re.compile(rf"({_SAID})(\s+)(in)(\s+)\(({_SAID})(\s+)(mm)\)"),
}


def alone(mm: float, units: Units) -> str:
    """The number alone, for a column that is headed with its unit.

    >>> alone(0.52, "mm"), alone(0.52, "in")
    ('0.52', '0.020')
    """
    return f"{mm / IN:.3f}" if units == "in" else f"{mm:.2f}"


def in_order(text: str, units: Units) -> str:
    """The text, with each length that it says in both systems turned so that the one of `units` stands first.

    A text is as long as before, so that what was laid out stays in its place.

    >>> in_order("a squish of 0.51 to 0.53 mm (0.020 to 0.021 in) cold", "in")
    'a squish of 0.020 to 0.021 in (0.51 to 0.53 mm) cold'
    """
    return _ORDER[units].sub(r"\5\2\7\4(\1\6\3)", text)


def plus_minus(sigma: float) -> str:
    """A standard deviation [mm] as it is printed everywhere; never rounded to nothing.

    >>> plus_minus(0.03), plus_minus(0.0254), plus_minus(0.0)
    ('+- 0.03 mm (0.0012 in)', '+- 0.025 mm (0.001 in)', 'not said')
    """
    if not sigma:
        return "not said"
    return f"+- {_kept(sigma, 2)} mm ({_kept(sigma / IN, 3)} in)"


def _kept(sigma: float, least: int) -> str:
    """With the decimals that keep it, to a twentieth of itself."""
    decimals = next((count for count in range(least, 9) if abs(round(sigma, count) - sigma) <= 0.05 * sigma), 9)
    return f"{sigma:.{decimals}f}"


def _plain(text: str) -> str:
    return " ".join(text.replace("″", '"').split())


def _split(text: str, bare_unit: str | None) -> tuple[Fraction, str]:
    plain = _plain(text)
    match = _QUANTITY.fullmatch(plain)
    if match is None or len(plain) > _LONGEST_TEXT:
        raise LengthError(text[:_LONGEST_TEXT], _why_not(text, 'a length such as "4 mm" or "3/16 in"'))
    unit = match["unit"].lower()
    if not unit:
        if bare_unit is None:
            raise LengthError(text, f'give it a unit, e.g. "{plain} mm"')
        unit = bare_unit
    if unit == "mil":
        raise LengthError(
            text, "'mil' is 0.001 in to some and a millimetre to others; write "
            f'"{plain[: -len(unit)].strip()} thou" or "{plain[: -len(unit)].strip()} mm"'
        )  # fmt: skip
    if unit not in UNITS:
        raise LengthError(text, f"unknown unit '{match['unit']}'; write mm, cm, in, \" or thou")
    return _value(match, text), unit


def _value(match: re.Match[str], text: str) -> Fraction:
    try:
        if match["whole"]:
            value = int(match["whole"]) + Fraction(int(match["wnum"]), int(match["wden"]))
        elif match["num"]:
            value = Fraction(int(match["num"]), int(match["den"]))
        else:
            value = Fraction(match["decimal"])
    except ZeroDivisionError:
        raise LengthError(text, "a fraction over zero is no length") from None
    return -value if match["sign"] == "-" else value


def _why_not(text: str, wanted: str) -> str:
    if re.search(r"[−–—][ ]*[\d.]", text):
        plain = re.sub(r"[−–—][ ]*", "-", text.strip())
        return f'this is a dash, not the minus sign of the keyboard; write "{plain}"'
    if re.search(r"\d,\d", text):
        return f'write the decimal with a point, not a comma: "{text.strip().replace(",", ".")}"'
    return f"is not {wanted}"
