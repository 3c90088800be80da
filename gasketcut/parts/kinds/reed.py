"""`kind = "reed"`: the gasket under a reed block, through whose opening the cage stands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from gasketcut.checked import Problem
from gasketcut.described import GASKET, Form, key
from gasketcut.errors import Lack
from gasketcut.parts.kinds.cautions import ASBESTOS, FUEL
from gasketcut.parts.part_spec import Around, PartSpec
from gasketcut.parts.window import Asked, Window
from gasketcut.parts.words import Placed, Shape


@dataclass(frozen=True, slots=True, kw_only=True)
class Reed(PartSpec):
    """A rectangular opening through which the cage goes; without an `opening` its body is cut, `set_back` larger.

    cage  the body of the cage where it passes the sheet: metal that the sheet must clear, or the block does not seat
    """

    kind: ClassVar[str] = "reed"
    passages: ClassVar[tuple[str, ...]] = ("intake", "impulse", "oil", "water", "drain", "dowel")
    opening_is: ClassVar[tuple[str, ...]] = ("intake", "reed", "cage")
    opening_is_port: ClassVar[bool] = True
    seals: ClassVar[bool] = True
    cautions: ClassVar[tuple[str, ...]] = (ASBESTOS, FUEL)

    cage: Placed | None = key(
        None,
        what="the body of the cage where it passes the sheet",
        how="calipers over the cage, both ways",
        example="{ rectangle = [38.0, 26.0], corner = 2.0 }",
        form=Form("placed"),
        needed=(GASKET,),
        agrees=("opening",),
    )

    def problems(self) -> Iterator[Problem]:
        yield from PartSpec.problems(self)
        if self.cage is None and self.opening is None and not self.windows:
            hint = "write the body of the reed cage, e.g. cage = { rectangle = [38.0, 26.0] }"
            yield None, Lack("cage", f"'cage' is missing; {hint}")

    def spoken_of(self) -> tuple[str, ...]:
        own = self.opening_is if self.cage is not None else ()
        return (*PartSpec.spoken_of(self), *own)

    def flange_windows(self) -> tuple[Window, ...]:
        return (*self._cage_window(), *self.windows)

    @property
    def has_opening(self) -> bool:
        return self.opening is not None or self.cage is not None

    def cuts(self, around: Around) -> list[Asked]:
        own = [Asked(window.placed, self.set_back, window) for window in self._cage_window() if self.opening is None]
        return [*own, *PartSpec.cuts(self, around)]

    def _cage_window(self) -> tuple[Window, ...]:
        return (Window(name="cage", role="port", placed=self.cage),) if self.cage is not None else ()

    def shapes(self) -> Iterator[Shape]:
        yield from PartSpec.shapes(self)
        if self.cage is not None:
            yield self.cage.shape
