"""What there is to measure, in the order in which an engine comes apart, and what each number is good for.

`usual` gives the range of small two-strokes as common practice, so that a slip of the unit is seen; nothing is assumed
from it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Form = Literal["text", "length", "angle", "number", "lengths", "places", "word", "unit"]

SQUISH, TIMING, PRESSURE = "squish answer", "port timing and compression", "cranking pressure"
WHEEL, STENCIL, GASKET = "degree wheel", "port stencil", "base gasket to cut"
RING, KEY, OUTLET = "ring gap", "ignition key", "muffler outlet"
OUTPUTS = (SQUISH, TIMING, PRESSURE, WHEEL, STENCIL, GASKET, RING, KEY, OUTLET)


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One measurement.

    path     where it goes in the job file; a number steps into a list of tables
    needed   the outputs that cannot be had without it; `helps` those that say more with it
    command  that its outputs come from is named in `guide/missing.py`
    """

    path: tuple[str | int, ...]
    ask: str
    how: str
    usual: str = ""
    form: Form = "length"
    words: tuple[str, ...] = ()
    needed: tuple[str, ...] = ()
    helps: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """The key that stands for it in a file of answers: `engine.ports.exhaust.opens`."""
        return ".".join(str(step) for step in self.path if not isinstance(step, int) or step > 0)


QUESTIONS: tuple[Question, ...] = (
    Question(path=("title",), ask="What is it?", how="a name for the job, e.g. the machine's", form="text"),
    Question(
        path=("units",),
        ask="Bare numbers are mm or in?",
        how="mm if you do not say; any number may carry its own unit",
        form="unit",
        words=("mm", "in"),
    ),
    # Muffler and carburettor off.
    Question(
        path=("engine", "ports", "exhaust", "width"),
        ask="Exhaust port, width?",
        how="inside calipers straight across the window (chord)",
        usual="about 60 % of the bore",
        needed=(STENCIL,),
        helps=(OUTLET, TIMING),
    ),
    Question(
        path=("engine", "ports", "exhaust", "height"),
        ask="Exhaust port, height?",
        how="top to bottom of the window",
        needed=(STENCIL,),
        helps=(OUTLET,),
    ),
    Question(
        path=("outlet", "stage", 0, "round"),
        ask="Muffler outlet, diameter?",
        how="inside calipers, spark screen out",
        needed=(OUTLET,),
    ),
    # Flywheel off.
    Question(
        path=("ignition", "taper"),
        ask="Crank taper, diameter at the thick and at the thin end of the key?",
        how="two diameters, e.g. 12.0, 10.5",
        form="lengths",
        needed=(KEY,),
    ),
    Question(path=("ignition", "key_width"), ask="Key, width?", how="calipers across the key", helps=(KEY,)),
    Question(
        path=("engine", "gauge_psi"),
        ask="Cranking pressure, psi?",
        how="warm, throttle open, until it stops rising",
        form="number",
        usual="120 to 180",
        needed=(PRESSURE,),
    ),
    # Before the cylinder comes off: the squish.
    Question(
        path=("squish", "gasket_present"),
        ask="Base gasket now under the cylinder, thickness clamped?",
        how="0 if there is none; measure a used one where it was clamped",
        usual="0.1 to 1.0 mm",
        needed=(SQUISH,),
    ),
    Question(
        path=("squish", "solder"),
        ask="Solder used, diameter?",
        how="half as thick again as the gap you expect",
        usual="1.0 to 2.0 mm",
    ),
    Question(
        path=("squish", "left"),
        ask="Solder squeezed at TDC, left on the pin's axis?",
        how="through the plug hole to the wall, over TDC by hand, measure the end",
        usual="0.5 to 1.5 mm",
        needed=(SQUISH,),
    ),
    Question(
        path=("squish", "right"),
        ask="The same on the right?",
        how="both at once, so that the piston stays level",
        usual="0.5 to 1.5 mm",
        needed=(SQUISH,),
    ),
    Question(
        path=("squish", "target"),
        ask="Squish you want?",
        how="yours to choose; maker's figure first",
        usual="0.020 in is often named",
        needed=(SQUISH,),
    ),
    Question(
        path=("squish", "least"),
        ask="Least squish you accept?",
        how="what rod stretch and play still leave room for",
        usual="0.016 in is often named",
        helps=(SQUISH,),
    ),
    Question(
        path=("engine", "chamber_cc"),
        ask="Chamber at TDC, cc?",
        how="burette through the plug hole, as assembled",
        form="number",
        helps=(TIMING,),
    ),
    Question(
        path=("engine", "squish_band"),
        ask="Squish band, width?",
        how="radial width of the flat band of the head",
        helps=(TIMING,),
    ),
    # Cylinder off.
    Question(
        path=("engine", "bore"),
        ask="Bore?",
        how="inside, at the top where it is worn least",
        usual="30 to 60 mm",
        needed=(TIMING, STENCIL, RING, PRESSURE),
    ),
    Question(
        path=("engine", "stroke"),
        ask="Stroke?",
        how="piston travel from TDC to BDC",
        usual="25 to 50 mm",
        needed=(TIMING, WHEEL),
    ),
    Question(
        path=("engine", "rod"),
        ask="Connecting rod, centre to centre?",
        how="inside of one eye to the outside of the other, less half of each",
        usual="1.6 to 2 times the stroke",
        needed=(TIMING, WHEEL),
    ),
    Question(
        path=("engine", "rpm"),
        ask="Speed at work, rpm?",
        how="for squish velocity and time-area",
        form="number",
        usual="7000 to 12000",
        helps=(TIMING,),
    ),
    Question(
        path=("engine", "ports", "exhaust", "opens"),
        ask="Exhaust opens, degrees after TDC?",
        how='degree wheel, or as "14.2 mm" of piston travel',
        form="angle",
        usual="95 to 110 deg",
        needed=(TIMING,),
        helps=(WHEEL,),
    ),
    Question(
        path=("engine", "ports", "exhaust", "centre"),
        ask="Exhaust port, where round the bore?",
        how="90 deg is in front, 0 deg right",
        form="angle",
        usual="90 deg",
        needed=(STENCIL,),
    ),
    Question(
        path=("engine", "ports", "transfer", "opens"),
        ask="Transfers open, degrees after TDC?",
        how="degree wheel",
        form="angle",
        usual="112 to 125 deg",
        helps=(TIMING, WHEEL),
    ),
    Question(
        path=("ring", "gap"),
        ask="Ring end gap?",
        how="ring squared in the bore with the piston, feeler in the gap",
        usual="0.15 to 0.35 mm",
        needed=(RING,),
    ),
    # What there is to make it from.
    Question(
        path=("stock", 0, "name"),
        ask="Sheet for the base gasket, its name?",
        how="e.g. can sheet",
        form="text",
        needed=(SQUISH, GASKET),
    ),
    Question(
        path=("stock", 0, "thickness"),
        ask="That sheet, thickness?",
        how="micrometer, in three places",
        usual="0.1 to 0.8 mm",
        needed=(SQUISH, GASKET),
    ),
    Question(
        path=("part", 0, "opening", "round"),
        ask="Base gasket, opening for the bore?",
        how="the spigot's diameter and a little more",
        usual="bore + 0.5 mm or more",
        needed=(GASKET,),
    ),
    Question(
        path=("part", 0, "studs", "at"),
        ask="Cylinder studs, places from the bore's middle?",
        how="x, y; x, y; ... in order round",
        form="places",
        needed=(GASKET,),
    ),
    Question(
        path=("part", 0, "studs", "size"), ask="Cylinder studs, size?", how="M5, M6, 1/4", form="text", needed=(GASKET,)
    ),
    Question(
        path=("part", 0, "outline", "lobes"),
        ask="Base gasket, sheet round each stud, radius?",
        how="to the edge of the flange",
        usual="6 to 9 mm",
        needed=(GASKET,),
    ),
    Question(
        path=("part", 0, "outline", "ring"),
        ask="Base gasket, band round the bore?",
        how="width of the flange there",
        usual="4 to 8 mm",
        needed=(GASKET,),
    ),
    Question(
        path=("part", 0, "outline", "fillet"),
        ask="Base gasket, radius of its inner corners?",
        how="large enough that lobes and band meet",
        usual="5 to 10 mm",
        needed=(GASKET,),
    ),
)
