"""One deck of the engine, from whichever way it was measured.

Deck     how far the crown's edge stands below the cylinder's upper face at TDC, the base gasket of the readings in
         place; negative when it stands above.
Bridge   a depth gauge over the bore, or a dial gauge for the protrusion: the deck itself.
Solder   the gap less head gasket and step of the band, where those two are known.

A deck that was measured itself counts, the mean of all such; only without one it is the solder's.
"""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

from gasketcut.engine.solder.readings import squish_of
from gasketcut.engine.squish.gap import above_deck, one_deck
from gasketcut.job.model import Job, SquishSpec
from gasketcut.length import Measured


def solder_of(spec: SquishSpec) -> Measured | None:
    """The clearance as solder gave it; None where none was squeezed."""
    return squish_of(spec).mean if spec.readings or spec.measured is not None else None


def deck_by_solder(spec: SquishSpec) -> Measured | None:
    """The deck that the solder leaves below head gasket and step; None where one of the three is not known."""
    solder = solder_of(spec)
    if solder is None or spec.head_gasket is None or spec.head_recess is None:
        return None
    above = above_deck(spec)
    return Measured(solder.value - above.value, sqrt(solder.sigma**2 + above.sigma**2))


def deck_of(job: Job) -> Measured | None:
    """The deck of the job; None where nothing says it."""
    engine, spec = job.engine, job.squish
    said = spec.decks(engine) if spec is not None else engine.decks if engine is not None else ()
    return one_deck(said) or (deck_by_solder(spec) if spec is not None else None)


def with_one_deck(job: Job) -> Job:
    """The job, its engine with the deck that all depths are counted with."""
    deck = deck_of(job)
    if deck is None or job.engine is None:
        return job
    return replace(job, engine=replace(job.engine, deck=deck.value))
