"""A DXF written tag by tag, as received ones are: what a library writes would be cleaner than what comes."""

from __future__ import annotations

HEADER = "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n"


def dxf(*entities: str, header: str = HEADER, tables: str = "", blocks: str = "") -> bytes:
    body = "\n".join(entities)
    tables = f"0\nSECTION\n2\nTABLES\n{tables}\n0\nENDSEC\n" if tables else ""
    return f"{header}{tables}{blocks}0\nSECTION\n2\nENTITIES\n{body}\n0\nENDSEC\n0\nEOF\n".encode()


def layer(name: str, linetype: str = "CONTINUOUS") -> str:
    return f"0\nLAYER\n2\n{name}\n70\n0\n62\n7\n6\n{linetype}"


def linetype(name: str, *dashes: float) -> str:
    rows = "".join(f"\n49\n{dash}\n74\n0" for dash in dashes)
    return f"0\nLTYPE\n2\n{name}\n70\n0\n3\n\n72\n65\n73\n{len(dashes)}\n40\n{sum(map(abs, dashes))}{rows}"


def _head(kind: str, on: str, style: str | None) -> str:
    return f"0\n{kind}\n8\n{on}" + (f"\n6\n{style}" if style else "")


def line(x0: float, y0: float, x1: float, y1: float, on: str = "0", style: str | None = None) -> str:
    return f"{_head('LINE', on, style)}\n10\n{x0!r}\n20\n{y0!r}\n11\n{x1!r}\n21\n{y1!r}"


def circle(x: float, y: float, r: float, on: str = "0", style: str | None = None, more: str = "") -> str:
    return f"{_head('CIRCLE', on, style)}\n10\n{x!r}\n20\n{y!r}\n40\n{r!r}{more}"


def arc(x: float, y: float, r: float, first: float, last: float, on: str = "0") -> str:
    return f"{_head('ARC', on, None)}\n10\n{x!r}\n20\n{y!r}\n40\n{r!r}\n50\n{first!r}\n51\n{last!r}"


def polyline(*points: tuple[float, ...], closed: bool = True, on: str = "0", style: str | None = None) -> str:
    rows = [f"{_head('LWPOLYLINE', on, style)}\n100\nAcDbPolyline\n90\n{len(points)}\n70\n{int(closed)}"]
    rows += [f"10\n{p[0]!r}\n20\n{p[1]!r}" + (f"\n42\n{p[2]!r}" if len(p) > 2 else "") for p in points]
    return "\n".join(rows)


def square(x: float, y: float, side: float) -> str:
    return plate(x, y, side, side)


def plate(x: float, y: float, width: float, height: float, on: str = "0") -> str:
    return polyline((x, y), (x + width, y), (x + width, y + height), (x, y + height), on=on)


def text(x: float, y: float, words: str, height: float = 2.5, on: str = "0") -> str:
    return f"{_head('TEXT', on, None)}\n10\n{x!r}\n20\n{y!r}\n40\n{height!r}\n1\n{words}"


def solid(*corners: tuple[float, float], on: str = "0") -> str:
    corners = (*corners, corners[-1]) if len(corners) == 3 else corners
    rows = "".join(f"\n{10 + n}\n{x!r}\n{20 + n}\n{y!r}" for n, (x, y) in enumerate(corners))
    return f"{_head('SOLID', on, None)}{rows}"
