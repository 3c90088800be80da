"""How sure a scale by a bank card is: cards differ within the limits of their standard."""

from __future__ import annotations

from typing import Literal

from gasketcut.bank_card import CARD, CARD_LIMITS
from gasketcut.capture.uncertainty.scale_spread import SCANNER, ScaleSpread
from gasketcut.tolerances import TWO_SIDED_95

_EVEN_95 = 0.95
"""Of the way to the limits, within which 95 in 100 lie where all sizes between them are as likely: what is to be
assumed where nothing but the limits is known (JCGM 100:2008, 4.3.7)."""


def card_spread(lies: Literal["along", "across", "askew"]) -> ScaleSpread:
    """By how the card's long side lies: along x, along y, or neither, where one scale serves both ways.

    A card askew says what both scales are in the mean; the scanner's own difference of the two stays.
    """
    long, short = (
        (_EVEN_95 / TWO_SIDED_95 * (most - least) / 2 / side) ** 2
        for side, (least, most) in zip(CARD, CARD_LIMITS, strict=True)
    )
    if lies == "along":
        return ScaleSpread(long, short)
    if lies == "across":
        return ScaleSpread(short, long)
    mean, apart = (long + short) / 4, SCANNER**2 / 2
    return ScaleSpread(mean + apart, mean + apart, mean - apart)
