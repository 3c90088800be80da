"""What names say: words of the trade in names of layers and line types, in the languages that files come in.

The words are common practice, gathered by us; the pattern of a line type counts where its name says nothing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

_LAYERS = {
    "dimensions": (
        *("dim", "dims", "dimension", "dimensions", "dimensioning", "measures", "leader", "leaders", "defpoints"),
        *("bemassung", "bemaßung", "maße", "massen", "masslinien", "maßlinien", "cote", "cotes", "cotation", "quota"),
        *("quote", "quotatura", "cota", "cotas", "acotacion", "acotación", "acotado", "maatvoering", "maatlijnen"),
        *("mått", "mål", "kóty", "koty", "wymiary", "размер", "размеры"),
    ),
    "centre-lines": (
        *("center", "centre", "centerline", "centreline", "centerlines", "centrelines", "centermark", "centermarks"),
        *("axis", "axes", "achse", "achsen", "mittellinie", "mittellinien", "eje", "ejes", "assi", "hartlijn"),
        *("hartlijnen", "osie", "osy", "оси", "осевая", "осевые"),
    ),
    "bend-lines": (
        *("bend", "bends", "bendline", "bendlines", "bending", "fold", "folds", "foldline", "foldlines", "crease"),
        *("biege", "biegen", "biegung", "biegelinie", "biegelinien", "biegekante", "abkantung",),
        *("pli", "plis", "pliage", "piega", "pieghe", "piegatura", "plegado", "pliegue", "pliegues", "doblez"),
        *("zetlijn", "zetlijnen", "buiglijn", "bøj", "bockning", "giecie", "gięcie", "ohyb", "сгиб", "гиб"),
    ),
    "title-block": (
        *("title", "titleblock", "schriftfeld", "schriftkopf", "titelblock", "zeichnungskopf", "cartouche"),
        *("cartiglio", "cajetin", "cajetín", "rotulo", "rótulo", "titelblok", "tabelka", "штамп"),
    ),
    "frame": (
        *("border", "frame", "rahmen", "zeichnungsrahmen", "blattrahmen", "cadre", "squadratura", "marco", "recuadro"),
        *("kader", "ramka", "ramme", "рамка"),
    ),
}  # fmt: skip
"""Kind of group, and the words of which one stands whole in the name of its layer."""

_LINETYPES = {
    "centre-lines": (
        *("center", "centre", "dashdot", "strichpunkt", "mitte", "mittellinie", "mixte", "axe", "axes"),
        *("phantom", "divide", "hartlijn", "eje", "assi", "осевая"),
        *("acad_iso04w100", "acad_iso05w100", "acad_iso08w100", "acad_iso09w100", "acad_iso10w100", "acad_iso12w100"),
        *("jis_08_11", "jis_08_15", "jis_08_25", "jis_08_37", "jis_08_50", "jis_09_08", "jis_09_15", "jis_09_29"),
    ),
    "bend-lines": _LAYERS["bend-lines"],
}  # fmt: skip
"""The same for line types. ISO 04 and so on are dashes with dots in the format's own list of ISO 128 lines."""

_BETWEEN = re.compile(r"[\W\d_]+")
_FEWEST = 4
"""Dashes and gaps of a pattern that is more than dashed."""


def kind_of_layer(name: str) -> str | None:
    """The group that the name of a layer speaks of; None if it speaks of none.

    >>> kind_of_layer("3_Bemassung"), kind_of_layer("BEND-UP"), kind_of_layer("CUT-OUTSIDE")
    ('dimensions', 'bend-lines', None)
    """
    return _kind_of(name, _LAYERS)


def kind_of_linetype(name: str, patterns: Mapping[str, tuple[float, ...]]) -> str | None:
    """The group that a line type speaks of by its name, or a centre line by long and short dashes in turn.

    patterns : of each line type by its name in capitals, the dashes, gaps negative
    """
    kind = _kind_of(name.lower().removesuffix("x2"), _LINETYPES)  # the same with dashes of twice the length
    if kind is not None:
        return kind
    pattern = patterns.get(name.upper(), ())
    dashes = [one for one in pattern if one >= 0]
    long_and_short = len(pattern) >= _FEWEST and max(dashes, default=0.0) > 2 * min(dashes, default=0.0)
    return "centre-lines" if long_and_short else None


def _kind_of(name: str, known: Mapping[str, tuple[str, ...]]) -> str | None:
    low = name.lower()
    words = {low, *_BETWEEN.split(low)}
    return next((kind for kind, those in known.items() if words.intersection(those)), None)
