"""The gap over the piston's edge as a sum: the deck, the head gasket, how far the band stands back."""

from __future__ import annotations

from math import sqrt

from gasketcut.engine.assumptions import READING_SIGMA
from gasketcut.job.engine import DeckSaid, Engine
from gasketcut.job.model import SquishSpec
from gasketcut.length import Measured


def as_sure(reading: Measured) -> Measured:
    """A reading of which nobody said how sure it is counts as sure as a solder reading."""
    return Measured(reading.value, reading.sigma or READING_SIGMA)


def one_deck(said: tuple[DeckSaid, ...]) -> Measured | None:
    """The mean of all ways in which the deck was measured, the surer ones counting for more; None if there is none.

    Source: least squares, weights 1 / sigma^2.
    """
    if not said:
        return None
    readings = [as_sure(one.deck) for one in said]
    weights = [1 / one.sigma**2 for one in readings]
    mean = sum(weight * one.value for weight, one in zip(weights, readings, strict=True)) / sum(weights)
    return Measured(mean, 1 / sqrt(sum(weights)))


def above_deck(spec: SquishSpec) -> Measured:
    """What the head gasket and the band's step add to the deck. A nothing is exact: no gasket, a flat face."""
    parts = [as_sure(one) if one.value else one for one in spec.above_deck]
    return Measured(sum(one.value for one in parts), sqrt(sum(one.sigma**2 for one in parts)))


def gap_by_deck(spec: SquishSpec, engine: Engine | None) -> Measured | None:
    """The clearance as the sum gives it; None where the job does not say it so."""
    deck = one_deck(spec.decks(engine)) if spec.is_summed(engine) else None
    if deck is None:
        return None
    above = above_deck(spec)
    return Measured(deck.value + above.value, sqrt(deck.sigma**2 + above.sigma**2))
