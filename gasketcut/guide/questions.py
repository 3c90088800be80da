"""What there is to measure, in the order in which an engine comes apart.

How it is measured, what is usual and what it is good for stands at the field of each value (`described.py`); a question
adds its place in that order and its sentence.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from gasketcut.described import COMMON, Described, Takes, Usual
from gasketcut.job.reference import described, holder
from gasketcut.length import is_length

Form = Literal["text", "length", "angle", "number", "lengths", "places", "word", "unit"]

_FORMS: dict[Takes, Form] = {
    "length": "length",
    "measured": "length",
    "angle": "angle",
    "number": "number",
    "whole": "number",
    "lengths": "lengths",
    "at": "places",
    "word": "word",
}

_WRITTEN: dict[Form, str] = {"lengths": "; two, e.g. 12.0, 10.5", "places": "; x, y; x, y; ... in order round"}

_SIDES = ("left", "right", "front", "rear")


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One measurement.

    path         where it goes in the job file; a number steps into a list of tables
    is_optional  its results can be had without it, other than the description of its key says
    """

    path: tuple[str | int, ...]
    ask: str
    is_optional: bool = False

    @property
    def name(self) -> str:
        """The key that stands for it in a file of answers: `engine.ports.exhaust.opens`."""
        return ".".join(str(step) for step in self.path if not isinstance(step, int) or step > 0)

    @property
    def key(self) -> Described:
        """The description of the key that its answer fills."""
        return described(self._path)

    @property
    def of(self) -> tuple[str, ...]:
        """The words of its way: of several usual ranges they choose one."""
        return tuple(step for step in self.path if isinstance(step, str))

    @property
    def form(self) -> Form:
        """How the answer is written."""
        if self.path == ("units",):
            return "unit"
        form = self.key.form
        return "text" if form.takes == "word" and not form.words else _FORMS.get(form.takes, "text")

    @property
    def words(self) -> tuple[str, ...]:
        return self.key.form.words

    @property
    def how(self) -> str:
        return (self._told.key.how or self._told.key.what) + _WRITTEN.get(self.form, "")

    @property
    def usual(self) -> str:
        """In words; empty where nothing is known of it."""
        rule = self._told.key.rule if self._told is not self.key else ""
        return rule or self.key.usual_text(self.of)

    @property
    def source(self) -> str:
        """Of what is usual."""
        return self.usual_range.source if self.usual_range else COMMON

    @property
    def usual_range(self) -> Usual | None:
        return self.key.usual(self.of)

    @property
    def needed(self) -> tuple[str, ...]:
        """The results that cannot be had without it; `helps` those that say more with it."""
        return () if self.is_optional else self._told.key.needed

    @property
    def helps(self) -> tuple[str, ...]:
        return (*(self._told.key.needed if self.is_optional else ()), *self._told.key.helps)

    def taken_as(self, text: str) -> Question:
        """The question that the text answers: a length where degrees were asked is the piston's travel."""
        if self.form == "angle" and "travel" in self.key.key.agrees and is_length(text):
            return replace(self, path=(*self.path[:-1], "travel"))
        return self

    @property
    def _path(self) -> tuple[str | int, ...]:
        if self.path[0] == "squish" and self.path[1] in _SIDES:
            return ("squish", "readings", "value")
        return self.path

    @property
    def _told(self) -> Described:
        """The key that says what the answer is good for: of a shape's size, the key that holds the shape."""
        return holder(self._path)


QUESTIONS: tuple[Question, ...] = (
    Question(path=("title",), ask="What is it?"),
    Question(path=("units",), ask="Bare numbers are mm or in?"),
    # Muffler and carburettor off.
    Question(path=("engine", "ports", "exhaust", "width"), ask="Exhaust port, width?"),
    Question(path=("engine", "ports", "exhaust", "height"), ask="Exhaust port, height?"),
    Question(path=("outlet", "stage", 0, "round"), ask="Muffler outlet, diameter?"),
    # Flywheel off.
    Question(path=("ignition", "taper"), ask="Crank taper, diameter at the thick and at the thin end of the key?"),
    Question(path=("ignition", "key_width"), ask="Key, width?"),
    Question(path=("engine", "gauge_psi"), ask="Cranking pressure, psi?"),
    # Before the cylinder comes off: the squish.
    Question(path=("squish", "gasket_present"), ask="Base gasket now under the cylinder, thickness clamped?"),
    Question(path=("squish", "solder"), ask="Solder used, diameter?"),
    Question(path=("squish", "left"), ask="Solder squeezed at TDC, left on the pin's axis?"),
    Question(path=("squish", "right"), ask="The same on the right?"),
    Question(path=("squish", "target"), ask="Squish you want?"),
    Question(path=("squish", "least"), ask="Least squish you accept?"),
    Question(path=("engine", "chamber_cc"), ask="Chamber at TDC, cc?"),
    Question(path=("engine", "squish_band"), ask="Squish band, width?"),
    # Cylinder off.
    Question(path=("engine", "bore"), ask="Bore?"),
    Question(path=("engine", "stroke"), ask="Stroke?"),
    Question(path=("engine", "rod"), ask="Connecting rod, centre to centre?"),
    Question(path=("engine", "rpm"), ask="Speed at work, rpm?"),
    Question(path=("engine", "ports", "exhaust", "opens"), ask="Exhaust opens, degrees after TDC?"),
    Question(path=("engine", "ports", "exhaust", "centre"), ask="Exhaust port, where round the bore?"),
    Question(path=("engine", "ports", "transfer", "opens"), ask="Transfers open, degrees after TDC?", is_optional=True),
    Question(path=("ring", "gap"), ask="Ring end gap?"),
    # What there is to make it from.
    Question(path=("stock", 0, "name"), ask="Sheet for the base gasket, its name?"),
    Question(path=("stock", 0, "thickness"), ask="That sheet, thickness?"),
    Question(path=("part", 0, "opening", "round"), ask="Base gasket, opening for the bore?"),
    Question(path=("part", 0, "studs", "at"), ask="Cylinder studs, places from the bore's middle?"),
    Question(path=("part", 0, "studs", "size"), ask="Cylinder studs, size?"),
    Question(path=("part", 0, "outline", "lobes"), ask="Base gasket, sheet round each stud, radius?"),
    Question(path=("part", 0, "outline", "ring"), ask="Base gasket, band round the bore?"),
    Question(path=("part", 0, "outline", "fillet"), ask="Base gasket, radius of its inner corners?"),
)
