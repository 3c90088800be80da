"""`[squish]` of a job file, as frozen values."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Annotated

from gasketcut.checked import Checked, Limits, Problem, Size
from gasketcut.described import SQUISH, TIMING, Form, Usual, key
from gasketcut.errors import Lack
from gasketcut.job.engine import DeckSaid, Engine, Standing
from gasketcut.length import Measured, both
from gasketcut.parts.stock import FROM_LEAST, Range

Reached = Annotated[Measured, Limits(with_least=True)]
"""Millimetres or nothing, and how sure."""


@dataclass(frozen=True, slots=True)
class Reading:
    """Solder squeezed at `at`: left and right lie on the pin axis, front is the exhaust side; or an angle, `30 deg`."""

    at: str = key(
        what="where: left, right, front, rear, or degrees round the bore",
        how="left and right lie on the pin axis, front is the exhaust side",
        example='"left"',
        form=Form("place round the bore"),
        needed=(SQUISH,),
    )
    value: Measured = key(
        what="thickness of the squeezed solder",
        how="through the plug hole to the wall, over TDC by hand, measure the end; both sides at once",
        example='"0.91 mm +- 0.02"',
        usual=Usual(0.2, 3),
        needed=(SQUISH,),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class SquishSpec(Checked):
    """What was measured and what is wanted; `measured` is a mean that the user worked out.

    The gap may be said as a sum besides, or in its place: deck, head gasket and how far the band stands back.
    `said` names the keys that a file gave.
    """

    target: Size | None = key(
        None,
        what="squish that is wanted",
        how="yours to choose; maker's figure first",
        example='"0.020 in"',
        usual=Usual(0.2, 3),
        rule="0.020 in is often named",
        needed=(SQUISH,),
        agrees=("least", "most"),
    )
    least: Size | None = key(
        None,
        what="least squish that you accept",
        how="what rod stretch and play still leave room for",
        example="0.40",
        usual=Usual(0.2, 3),
        rule="0.016 in is often named",
        helps=(SQUISH,),
        agrees=("target", "most"),
    )
    most: Size | None = key(
        None,
        what="most squish that you accept",
        how="yours to choose",
        example="0.60",
        usual=Usual(0.2, 3),
        helps=(SQUISH,),
        agrees=("target", "least"),
    )
    risk: Annotated[float, Limits(0, 0.5, dimension="number", unit="")] = key(
        0.025,
        what="chance that you accept of the tight place lying under least, from 0 to 1",
        how="yours to choose; 0.025 is one engine in forty",
        example="0.01",
        helps=(SQUISH,),
    )
    gasket_present: Reached = key(
        Measured(0.0),
        what="thickness of the base gasket under the cylinder while measuring, clamped; 0 if there is none",
        how="0 if there is none; measure a used one where it was clamped",
        example='"0.50 mm +- 0.01"',
        usual=Usual(0, 3),
        needed=(SQUISH,),
    )
    solder: Size | None = key(
        None,
        what="diameter of the solder",
        how="half as thick again as the gap you expect",
        example="1.5",
        usual=Usual(0.4, 4),
        helps=(SQUISH,),
        agrees=("readings",),
    )
    readings: tuple[Reading, ...] = key(
        (),
        what="solder squeezed at two places or more",
        example='[{ at = "left", value = 0.91 }, { at = "right", value = 0.93 }]',
        needed=(SQUISH,),
        agrees=("measured", "deck", "protrusion", "head_gasket", "head_recess", "engine.deck"),
    )
    measured: Measured | None = key(
        None,
        what="mean of the readings, where you have worked it out yourself",
        how="solder at both ends of the pin axis, half of the sum",
        example='"0.92 mm +- 0.02"',
        usual=Usual(0.2, 3),
        helps=(SQUISH,),
        agrees=("readings", "deck", "protrusion", "head_gasket", "head_recess", "engine.deck"),
    )
    deck: Standing | None = key(
        None,
        what="how far the crown's edge stands below the deck at TDC; negative when it stands above",
        how="depth gauge from a bridge over the bore to the crown's edge, gasket_present in place",
        example="0.42",
        usual=Usual(-3, 3),
        helps=(SQUISH, TIMING),
        agrees=("protrusion", "engine.deck", "measured", "readings"),
    )
    protrusion: Reached | None = key(
        None,
        what="how far the crown's edge stands above the deck at TDC",
        how="dial gauge on the deck and on the crown's edge, gasket_present in place",
        example="0.1",
        usual=Usual(0, 3),
        helps=(SQUISH, TIMING),
        agrees=("deck", "engine.deck", "measured", "readings"),
    )
    head_gasket: Reached | None = key(
        None,
        what="thickness of the head gasket, clamped; 0 if there is none",
        how="a used one, where it was clamped",
        example="0.5",
        usual=Usual(0, 3),
        helps=(SQUISH,),
        agrees=("measured", "readings"),
    )
    head_recess: Standing | None = key(
        None,
        what="how far the squish band stands back from the head's face; negative when it stands proud of it",
        how="depth gauge from the head's face",
        example="0.2",
        usual=Usual(-5, 5),
        helps=(SQUISH,),
        agrees=("measured", "readings"),
    )
    gasket_recess: Reached | None = key(
        None,
        what="how deep the head gasket lies in a recess of the cylinder",
        how="depth gauge from the deck to the recess's floor",
        example="0.4",
        usual=Usual(0, 3),
        helps=(SQUISH,),
        agrees=("measured", "readings"),
    )
    sealant: Range = key(
        (0.0, 0.0, 0.0),
        what="film of sealant that stays between the faces: least, likely, most; or one figure",
        how="a micrometer over a joint clamped with it, and without",
        example="[0.01, 0.02, 0.05]",
        form=FROM_LEAST,
        helps=(SQUISH,),
    )
    said: tuple[str, ...] = field(default=(), compare=False)
    present_line: int = field(default=0, compare=False)
    line: int = field(default=0, compare=False)

    def decks(self, engine: Engine | None) -> tuple[DeckSaid, ...]:
        """Every way in which the deck was measured, the squish's own first."""
        found = []
        if self.deck is not None:
            found.append(DeckSaid(("squish", "deck"), "deck", self.deck))
        if self.protrusion is not None:
            below = Measured(-self.protrusion.value, self.protrusion.sigma)
            found.append(DeckSaid(("squish", "protrusion"), "protrusion", below))
        return (*found, *(engine.decks if engine is not None else ()))

    @property
    def above_deck(self) -> tuple[Measured, ...]:
        """What stands between the deck and the band, as far as it was measured: each adds to the gap."""
        added = [one for one in (self.head_gasket, self.head_recess) if one is not None]
        sunk = self.gasket_recess
        return (*added, *((Measured(-sunk.value, sunk.sigma),) if sunk is not None else ()))

    def is_summed(self, engine: Engine | None) -> bool:
        """Is the gap said as a sum: a deck of this table, or the engine's with what lies above it?"""
        own = self.deck is not None or self.protrusion is not None
        return own or (bool(self.above_deck) and engine is not None and bool(engine.decks))

    def gap_problems(self, engine: Engine | None) -> Iterator[Problem]:
        """A sum that leaves no gap; where solder was read too, it is the solder that the sum contradicts."""
        if self.readings or self.measured is not None or not self.is_summed(engine):
            return
        deck = self.decks(engine)[0]
        gap = deck.deck.value + sum(one.value for one in self.above_deck)
        if gap <= 0:
            message = f"leaves {both(gap, 3)} between piston and head; check it, head_gasket and head_recess"
            yield deck.key, message

    def lacks(self, engine: Engine | None) -> Iterator[Lack]:
        """What has to be known before anything follows from it."""
        if self.target is None:
            yield Lack("target", "'target' is missing; write the squish that is wanted, e.g. target = \"0.020 in\"")
        if not self.readings and self.measured is None and not self.is_summed(engine):
            hint = 'readings = [{ at = "left", value = 0.95 }, { at = "right", value = 0.97 }]'
            yield Lack("readings", f"'readings' is missing; write e.g. {hint}")
