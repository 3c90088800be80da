"""The numbers of one entity, by group code."""

from __future__ import annotations

from gasketcut.plane import Point
from gasketcut.received.reading.tags import Entity, TaggedDrawing, number_of

_UP = 1e-9


class EntityNumbers:
    """Raises ValueError for what is no number; counts decimal commas."""

    def __init__(self, drawing: TaggedDrawing, entity: Entity) -> None:
        self._drawing, self._entity, self.commas = drawing, entity, 0
        self._codes, self._values = drawing.text.tags(entity.first, entity.last)
        self._first = dict(zip(reversed(self._codes), reversed(self._values), strict=True))  # of equals the first stays

    def text(self, code: int) -> str | None:
        return self._first.get(code)

    def integer(self, code: int) -> int | None:
        value = self._first.get(code)
        return None if value is None else int(self._number(value))

    def number(self, code: int, default: float = 0.0) -> float:
        value = self._first.get(code)
        return default if value is None else self._number(value)

    def scale(self, code: int) -> float:
        """Of a block; some writers put 0 where they mean 1."""
        return self.number(code, 1.0) or 1.0

    def xy(self, code: int) -> Point:
        """The place whose x has this group code."""
        return self.number(code), self.number(code + 10)

    def xyz(self, code: int, default: tuple[float, float, float]) -> tuple[float, float, float]:
        if code not in self._first:
            return default
        return self.number(code), self.number(code + 10), self.number(code + 20)

    @property
    def is_flat(self) -> bool:
        """Drawn from straight above or straight below."""
        if 210 not in self._first:
            return True
        x, y, z = self.xyz(210, (0.0, 0.0, 1.0))
        return abs(x) <= _UP and abs(y) <= _UP and z != 0

    @property
    def below(self) -> bool:
        return 210 in self._first and self.xyz(210, (0.0, 0.0, 1.0))[2] < 0

    def all(self, code: int) -> set[float]:
        return set(self.every(code))

    def every(self, code: int) -> list[float]:
        """All values with this group code, in their order."""
        pairs = zip(self._codes, self._values, strict=True)
        return [self._number(value) for each, value in pairs if each == code]

    def vertices(self) -> tuple[list[tuple[float, float, float]], list[float], set[float]]:
        """Of a polyline: x, y and bulge of each; the widths; the heights."""
        if self._entity.type == "POLYLINE":
            return self._old_vertices()
        found: list[list[float]] = []
        widths, height = [self.number(43)], self.number(38)
        for code, value in zip(self._codes, self._values, strict=True):
            if code == 10:
                found.append([self._number(value), 0.0, 0.0])
            elif code == 20 and found:
                found[-1][1] = self._number(value)
            elif code == 42 and found:
                found[-1][2] = self._number(value)
            elif code in (40, 41):
                widths.append(self._number(value))
        return [(x, y, bulge) for x, y, bulge in found], widths, {height}

    def _old_vertices(self) -> tuple[list[tuple[float, float, float]], list[float], set[float]]:
        found, heights = [], {self.number(30)}
        widths = [self.number(40), self.number(41)]
        for vertex in self._entity.vertices:
            numbers = EntityNumbers(self._drawing, vertex)
            if (numbers.integer(70) or 0) & 16:  # frame of a fitted curve, no point on it
                continue
            found.append((*numbers.xy(10), numbers.number(42)))
            heights.add(numbers.number(30))
            widths += [numbers.number(40), numbers.number(41)]
            self.commas += numbers.commas
        return found, widths, heights

    def _number(self, text: str) -> float:
        value, comma = number_of(text)
        self.commas += comma
        return value
