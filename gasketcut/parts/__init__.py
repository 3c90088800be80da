"""What a part is made of, for a program that builds a job: kinds, shape words, outline rules, holes, windows, sheets.

gc.parts.Base(name="base", outline=gc.parts.Hull(4.0), opening=gc.parts.Placed(gc.parts.Round(44.6)))
"""

from gasketcut.parts.holes import Holes
from gasketcut.parts.kinds import (
    Base,
    Blank,
    Deflector,
    Exhaust,
    Flat,
    Frame,
    Intake,
    Joint,
    Outlet,
    Received,
    Reed,
    Screen,
    Spacer,
)  # fmt: skip
from gasketcut.parts.outlet_rule import OutletRule
from gasketcut.parts.rules import Grow, Hull, Lobes
from gasketcut.parts.stock import Stock
from gasketcut.parts.window import Landmark, Window
from gasketcut.parts.words import ArcRoof, Drawing, DShape, Oval, Placed, Points, Rectangle, Round, Slot

__all__ = [
    "ArcRoof", "Base", "Blank", "DShape", "Deflector", "Drawing", "Exhaust", "Flat", "Frame", "Grow", "Holes", "Hull",
    "Intake", "Joint", "Landmark", "Lobes", "Outlet", "OutletRule", "Oval", "Placed", "Points", "Received", "Rectangle",
    "Reed", "Round", "Screen", "Slot", "Spacer", "Stock", "Window",
]  # fmt: skip
