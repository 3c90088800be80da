"""Fifty drawings as customers send them, invented: each with what an operator would say of it.

`python -m tests.received.customers FOLDER` writes them, to look at or to try a command on.
"""

from __future__ import annotations

import io
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import cos, pi, sin
from pathlib import Path

import ezdxf
from ezdxf.document import Drawing
from ezdxf.layouts import Modelspace

Shape = list[tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Customer:
    """`verdicts` are those an operator would agree with; `says` are words one of which the report has to hold for each
    row; `parts` and `holes` are counted only where the drawing can be read as parts."""

    name: str
    data: bytes
    verdicts: tuple[str, ...]
    says: tuple[tuple[str, ...], ...] = ()
    parts: int | None = None
    holes: int | None = None


def drawing(units: int | None = 4, version: str = "R2010", measurement: int = 1) -> Drawing:
    doc = ezdxf.new(version, units=units or 0)
    doc.header["$MEASUREMENT"] = measurement
    for name, pattern in (("CENTER", [12.0, 8.0, -2.0, 1.0, -1.0]), ("DASHED", [6.0, 4.0, -2.0])):
        doc.linetypes.add(name, pattern)
    return doc


def written(doc: Drawing) -> bytes:
    stream = io.StringIO()
    doc.write(stream)
    return stream.getvalue().encode(doc.output_encoding, errors="dxfreplace")


def rectangle(x: float, y: float, width: float, height: float) -> Shape:
    return [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]


def turning(count: int, x: float, y: float, a: float, b: float | None = None) -> Shape:
    return [(x + a * cos(2 * pi * n / count), y + (b or a) * sin(2 * pi * n / count)) for n in range(count)]


def plate(msp: Modelspace, x: float = 0, y: float = 0, scale: float = 1.0, layer: str = "0") -> None:
    """80 x 50, four holes of 6.5, one of 24."""
    msp.add_lwpolyline(
        [(x + p * scale, y + q * scale) for p, q in rectangle(0, 0, 80, 50)], close=True, dxfattribs={"layer": layer}
    )
    for p, q in ((8, 8), (72, 8), (72, 42), (8, 42)):
        msp.add_circle((x + p * scale, y + q * scale), 3.25 * scale, dxfattribs={"layer": layer})
    msp.add_circle((x + 40 * scale, y + 25 * scale), 12 * scale, dxfattribs={"layer": layer})


def loose(msp: Modelspace, points: Shape, layer: str = "0") -> None:
    for start, end in zip(points, [*points[1:], points[0]], strict=True):
        msp.add_line(start, end, dxfattribs={"layer": layer})


def exploded_dimension(msp: Modelspace, x0: float, x1: float, y: float, text: str, layer: str = "0") -> None:
    """Two extension lines, a dimension line, two arrowheads of two lines each, a text."""
    own = {"layer": layer}
    for x in (x0, x1):
        msp.add_line((x, y + 9), (x, y - 2), dxfattribs=own)
    msp.add_line((x0, y), (x1, y), dxfattribs=own)
    for x, way in ((x0, 1), (x1, -1)):
        msp.add_line((x, y), (x + 3 * way, y + 0.5), dxfattribs=own)
        msp.add_line((x, y), (x + 3 * way, y - 0.5), dxfattribs=own)
    msp.add_text(text, height=2.5, dxfattribs={**own, "insert": ((x0 + x1) / 2 - 3, y + 1)})


def title_block(msp: Modelspace, right: float, low: float) -> None:
    left = right - 120
    for shape in (rectangle(left, low, 120, 40), rectangle(left, low, 120, 10), rectangle(left + 70, low, 50, 40)):
        loose(msp, shape)
    for n, words in enumerate(("BRACKET FOR WINDMILL", "SCALE 1:1", "CHECKED", "SHEET 1 OF 1", "STEEL")):
        msp.add_text(words, height=3, dxfattribs={"insert": (left + 5, low + 3 + 7 * n)})


def made(build: Callable[[Modelspace], object], units: int | None = 4, version: str = "R2010", **more: int) -> bytes:
    """With every layer declared that is used."""
    doc = drawing(units, version, **more)
    build(doc.modelspace())
    for layer in sorted({one.dxf.layer for one in doc.modelspace()} - {one.dxf.name for one in doc.layers}):
        doc.layers.add(layer)
    return written(doc)


def several(*builds: Callable[[Modelspace], object]) -> Callable[[Modelspace], None]:
    def build(msp: Modelspace) -> None:
        for one in builds:
            one(msp)

    return build


def line(*points: tuple[float, float], layer: str = "0", linetype: str = "BYLAYER") -> Callable[[Modelspace], object]:
    return lambda msp: msp.add_line(*points, dxfattribs={"layer": layer, "linetype": linetype})


def poly(points: Iterable[tuple[float, ...]], layer: str = "0", **more: float) -> Callable[[Modelspace], object]:
    rows = list(points)
    return lambda msp: msp.add_lwpolyline(rows, close=True, dxfattribs={"layer": layer, **more})


def circle(x: float, y: float, radius: float, layer: str = "0") -> Callable[[Modelspace], object]:
    return lambda msp: msp.add_circle((x, y), radius, dxfattribs={"layer": layer})


def text(x: float, y: float, words: str, layer: str = "0") -> Callable[[Modelspace], object]:
    return lambda msp: msp.add_text(words, height=4, dxfattribs={"insert": (x, y), "layer": layer})


def in_block(msp: Modelspace) -> None:
    assert msp.doc is not None
    block = msp.doc.blocks.new("BOLT-HOLE")
    block.add_circle((0, 0), 3.25)
    for x in (10, 70):
        msp.add_blockref("BOLT-HOLE", (x, 25))
    msp.add_lwpolyline(rectangle(0, 0, 80, 50), close=True)


def hidden(msp: Modelspace) -> None:
    assert msp.doc is not None
    msp.doc.layers.add("CONSTRUCTION").off()
    plate(msp)
    msp.add_line((-20, 25), (100, 25), dxfattribs={"layer": "CONSTRUCTION"})


def hatched(msp: Modelspace) -> None:
    plate(msp)
    msp.add_hatch(color=3).paths.add_polyline_path(rectangle(0, 0, 80, 50), is_closed=True)


def dimensioned(msp: Modelspace) -> None:
    plate(msp)
    msp.add_linear_dim(base=(0, -12), p1=(0, 0), p2=(80, 0)).render()
    msp.add_linear_dim(base=(-12, 0), p1=(0, 0), p2=(0, 50), angle=90).render()


def splined(msp: Modelspace) -> None:
    msp.add_spline([(x, y, 0) for x, y in (*turning(12, 40, 40, 38, 25), (78, 40))])
    msp.add_circle((40, 40), 8)


def at_levels(msp: Modelspace) -> None:
    plate(msp)
    msp.add_circle((20, 25, 3.0), 4)


def noisy_z(msp: Modelspace) -> None:
    corners = rectangle(0, 0, 80, 50)
    for n, (start, end) in enumerate(zip(corners, [*corners[1:], corners[0]], strict=True)):
        msp.add_line((*start, 1e-9 * n), (*end, -2e-9 * n))
    msp.add_circle((40, 25, 3e-10), 6)


def rounding(msp: Modelspace) -> None:
    corners = rectangle(0, 0, 80, 50)
    for n, (start, end) in enumerate(zip(corners, [*corners[1:], corners[0]], strict=True)):
        msp.add_line((start[0] + 3e-7 * (n % 2), start[1]), (end[0], end[1] - 4e-7))
    msp.add_circle((40, 25), 6)


def region() -> bytes:
    data = made(poly(rectangle(200, 0, 40, 40)))
    marker = b"  0\nENDSEC\n  0\nSECTION\n  2\nOBJECTS"
    one = b"  0\nREGION\n  5\nFFF1\n100\nAcDbEntity\n  8\n0\n100\nAcDbModelerGeometry\n 70\n1\n  1\nnmzn mfn mfn\n"
    assert data.count(marker) == 1
    return data.replace(marker, one + marker)


def three_views(msp: Modelspace) -> None:
    plate(msp)
    msp.add_lwpolyline(rectangle(0, 70, 80, 3), close=True)  # from above
    msp.add_lwpolyline(rectangle(100, 0, 3, 50), close=True)  # from the side


def washers(msp: Modelspace) -> None:
    for n in range(6):
        msp.add_circle((30 * n, 0), 12)
        msp.add_circle((30 * n, 0), 5)


def threaded(msp: Modelspace) -> None:
    plate(msp)
    for x in (24, 56):
        msp.add_circle((x, 25), 2.5)  # M6: core 5.0
        msp.add_circle((x, 25), 3.0)


def ellipse(msp: Modelspace) -> None:
    msp.add_ellipse((0, 0), major_axis=(40, 0), ratio=0.6)
    msp.add_circle((0, 0), 10)


def from_below(msp: Modelspace) -> None:
    msp.add_lwpolyline(rectangle(0, 0, 80, 50), close=True)
    msp.add_circle((-20, 25), 6, dxfattribs={"extrusion": (0, 0, -1)})


def rounded_loose(msp: Modelspace) -> None:
    """80 x 50 with corners of 8 mm, as lines and arcs that meet."""
    for start, end in (((8, 0), (72, 0)), ((80, 8), (80, 42)), ((72, 50), (8, 50)), ((0, 42), (0, 8))):
        msp.add_line(start, end)
    for center, first in (((72, 8), 270), ((72, 42), 0), ((8, 42), 90), ((8, 8), 180)):
        msp.add_arc(center, 8, first, first + 90)
    msp.add_circle((40, 25), 10)


SELF_TOUCH = [(0, 0), (80, 0), (80, 50), (40, 50), (50, 30), (30, 30), (40, 50), (0, 50)]
BOW_TIE = [(0, 0), (60, 40), (60, 0), (0, 40)]
NECK = [
    (0, 0), (30, 0), (30, 20), (30.2, 20), (30.2, 0), (60, 0), (60, 40), (30.2, 40), (30.2, 20.2), (30, 20.2), (30, 40),
    (0, 40),
]  # fmt: skip
SHORT = [((0, 0), (80, 0)), ((80, 0), (80, 50)), ((80, 50), (0, 50)), ((0, 50), (0, 0.2))]
BESIDE = [((0, 0), (80, 0)), ((80, 0), (80, 50)), ((80, 50), (0, 50)), ((0, 50), (0, 0.02))]


def lines(rows: Iterable[tuple[tuple[float, float], tuple[float, float]]]) -> Callable[[Modelspace], None]:
    def build(msp: Modelspace) -> None:
        for start, end in rows:
            msp.add_line(start, end)

    return build


def customers() -> tuple[Customer, ...]:
    """All of them, in the order of their names."""
    a3 = poly(rectangle(-170, -120, 420, 297))
    in_frame = several(a3, lambda msp: title_block(msp, 250, -120), plate)
    clean = made(plate)
    return tuple(
        sorted(
            (
                Customer("01 cover plate.dxf", clean, ("ready",), parts=1, holes=5),
                Customer("02 cover plate R12.dxf", made(rounded_loose, version="R12"), ("ask",), (("no-unit",),)),
                Customer(
                    "03 lid inch.dxf",
                    made(lambda m: plate(m, scale=1 / 25.4), units=1, measurement=0),
                    ("ready",),
                    parts=1,
                    holes=5,
                ),
                Customer("04 lid called inch.dxf", made(plate, units=1, measurement=0), ("ask",), (("unit-doubt",),)),
                Customer("05 lid called mm.dxf", made(lambda m: plate(m, scale=1 / 25.4)), ("look",), (("inch",),)),
                Customer("06 tray, loose lines.dxf", made(rounded_loose), ("ready",), parts=1, holes=1),
                Customer("07 gap 0.02.dxf", made(lines(BESIDE)), ("mend",), (("gap",),)),
                Customer("08 gap 0.2.dxf", made(lines(SHORT)), ("ask",), (("open",), ("--join",))),
                Customer(
                    "09 doubled.dxf",
                    made(several(plate, line((0, 0), (80, 0)), circle(40, 25, 12))),
                    ("mend",),
                    (("duplicate", "overlap"),),
                ),
                Customer("10 with text.dxf", made(several(plate, text(20, 40, "LEFT HAND"))), ("ask",), (("text",),)),
                Customer(
                    "11 with a scribed line.dxf",
                    made(several(plate, line((10, 15), (70, 15), layer="MARK"))),
                    ("ready", "look"),
                    (("MARK",),),
                    1,
                    5,
                ),
                Customer("12 full sheet.dxf", made(in_frame), ("ask",), (("title-block", "frame"),)),
                Customer("13 in a frame.dxf", made(several(a3, plate)), ("look",), (("frame",),)),
                Customer("14 three views.dxf", made(three_views), ("look",), (("view",),)),
                Customer(
                    "15 stray hole.dxf", made(several(plate, circle(4000, 25, 4))), ("look",), (("stray", "far"),)
                ),
                Customer(
                    "16 with dimensions.dxf", made(dimensioned), ("ask",), (("dimension",), ("--drop dimensions",))
                ),
                Customer(
                    "17 exploded dimensions.dxf",
                    made(
                        several(
                            plate,
                            lambda m: exploded_dimension(m, 0, 80, -15, "80"),
                            lambda m: exploded_dimension(m, 8, 72, -25, "64"),
                        )
                    ),
                    ("ask",),
                    (("2 dimensions",),),
                ),
                Customer(
                    "18 centre lines.dxf",
                    made(
                        several(
                            plate,
                            line((20, 25), (60, 25), linetype="CENTER"),
                            line((40, 5), (40, 45), linetype="CENTER"),
                        )
                    ),
                    ("ask",),
                    (("centre",), ("linetype=CENTER", "centre-lines")),
                ),
                Customer(
                    "19 bend line.dxf",
                    made(several(plate, line((0, 30), (80, 30), layer="BEND"))),
                    ("ask",),
                    (("bend",),),
                ),
                Customer("20 freehand spline.dxf", made(splined), ("mend",), (("spline",),)),
                Customer("21 ellipse.dxf", made(ellipse), ("mend",), (("ellipse",),)),
                Customer(
                    "22 ellipse of lines.dxf",
                    made(poly(turning(2000, 0, 0, 40, 24))),
                    ("look", "mend"),
                    (("ellipse", "arcs"),),
                ),
                Customer(
                    "23 hole of 36 lines.dxf",
                    made(several(poly(rectangle(0, 0, 80, 50)), poly(turning(36, 40, 25, 4)))),
                    ("mend", "look"),
                    (("circle",),),
                ),
                Customer("24 six washers.dxf", made(washers), ("ready",), parts=6, holes=6),
                Customer(
                    "25 disc in a ring.dxf",
                    made(several(circle(0, 0, 30), circle(0, 0, 20.2), circle(0, 0, 20))),
                    ("look",),
                    (("0.2",),),
                ),
                Customer("26 needle hole.dxf", made(several(plate, circle(20, 25, 0.15))), ("look",), (("0.3 mm",),)),
                Customer(
                    "27 hole at the edge.dxf",
                    made(several(poly(rectangle(0, 0, 80, 50)), circle(5.02, 25, 5))),
                    ("look",),
                    (("0.02",),),
                ),
                Customer("28 thin neck.dxf", made(poly(NECK)), ("look",), (("0.2",),)),
                Customer("29 thread.dxf", made(threaded), ("look",), (("thread",),)),
                Customer(
                    "30 outline twice.dxf",
                    made(several(plate, poly(rectangle(0.05, 0.05, 79.9, 49.9)))),
                    ("look",),
                    (("0.05",),),
                ),
                Customer("31 touches itself.dxf", made(poly(SELF_TOUCH)), ("look", "ask"), (("touch",),)),
                Customer("32 bow tie.dxf", made(poly(BOW_TIE)), ("ask",), (("cross",),)),
                Customer(
                    "33 overlapping.dxf", made(several(plate, lambda m: plate(m, 60, 30))), ("ask",), (("cross",),)
                ),
                Customer("34 blocks.dxf", made(in_block), ("mend",), (("block",),)),
                Customer("35 hatched.dxf", made(hatched), ("ask",), (("hatch",),)),
                Customer("36 hidden lines.dxf", made(hidden), ("ask",), (("hidden",),)),
                Customer("37 noise in z.dxf", made(noisy_z), ("ready",), parts=1, holes=1),
                Customer("38 two levels.dxf", made(at_levels), ("mend", "ask", "look"), (("3 mm", "z = 3"),)),
                Customer("39 region.dxf", region(), ("ask",), (("region",),)),
                Customer(
                    "40 line on LEAD.dxf",
                    made(several(plate, line((-5, 25), (85, 25), layer="LEAD"))),
                    ("ask",),
                    (("cross",),),
                ),
                Customer(
                    "41 score board.dxf",
                    made(lambda m: plate(m, layer="Score-board")),
                    ("ready", "look"),
                    (("Score-board",),),
                    None,
                    None,
                ),
                Customer(
                    "42 odd layer.dxf",
                    made(plate).replace(b"\n  8\n0\n", b'\n  8\nCUT/"3\\\n'),
                    ("mend",),
                    (("layer",),),
                ),
                Customer(
                    "43 wide line.dxf", made(poly(rectangle(0, 0, 80, 50), const_width=1.0)), ("mend",), (("wide",),)
                ),
                Customer("44 from below.dxf", made(from_below), ("mend",), (("mirrored",),)),
                Customer(
                    "45 centre points.dxf", made(several(plate, lambda m: m.add_point((8, 8)))), ("ask",), (("point",),)
                ),
                Customer("46 far away.dxf", made(lambda m: plate(m, 4.1e6, 5.3e6)), ("mend",), (("far",),)),
                Customer("47 cut short.dxf", clean[: int(len(clean) * 0.35)], ("ask",), (("truncated", "damaged"),)),
                Customer(
                    "48 web page.dxf", b"<!DOCTYPE html><html><body>Sign in</body></html>", ("ask",), (("not-dxf",),)
                ),
                Customer(
                    "49 flange S235 3mm.dxf", made(several(plate, slotted_beside)), ("ready",), (("S235",),), 2, 6
                ),
                Customer("50 rounded ends.dxf", made(rounding), ("mend",), (("gap-rounding",),)),
            ),
            key=lambda one: one.name,
        )
    )


def slotted_beside(msp: Modelspace) -> None:
    """60 x 24 with round ends, and a slot in it."""
    for left, low, right, high in ((112, 0, 172, 24), (122, 9, 162, 15)):
        points = [(left, low, 0.0), (right, low, 1.0), (right, high, 0.0), (left, high, 1.0)]
        msp.add_lwpolyline(points, format="xyb", close=True)


def write(folder: Path) -> None:
    """All of them as files."""
    folder.mkdir(parents=True, exist_ok=True)
    for one in customers():
        (folder / one.name).write_bytes(one.data)


if __name__ == "__main__":
    write(Path(sys.argv[1]))
