"""`[measure]` of a job file: distances between holes, as a caliper shows them."""

from __future__ import annotations

from gasketcut.job.calipers import SIGMA, CaliperReading, Measure, Sigma
from gasketcut.length import Measured
from gasketcut.plane import Point
from gasketcut.toml.read import given, read
from gasketcut.toml.table import Table


def read_measure(table: Table) -> Measure:
    """`[measure]` with `[measure.holes]`, `[[measure.distance]]` and, if wanted, `[measure.rough]`."""
    sigma = given(Sigma, table).get("sigma", SIGMA)
    frame = table.texts("frame")
    if frame and len(frame) != 2:
        table.fault("frame", 'write two holes, e.g. frame = ["A", "B"]')
    distances = tuple(_read_distance(one, sigma) for one in table.tables("distance"))
    if not distances:
        table.missing("distance", "[[measure.distance]] with from, to, reading and over, once for each")
    measure = read(
        Measure,
        table,
        distances=distances,
        diameters=tuple(_read_diameters(table, sigma)),
        frame=(frame[0], frame[1]) if len(frame) == 2 else None,
        rough=tuple(_read_rough(table)),
    )
    if table.is_whole:
        _check(table, measure)
    table.close()
    return measure


def _read_distance(table: Table, sigma: float) -> CaliperReading:
    names = []
    for key in ("from", "to"):
        name = table.text(key)
        if name is None:
            table.missing(key, f'a hole, e.g. {key} = "A"')
        names.append(name or key)
    if names[0] == names[1]:
        table.fault("to", f"a distance from {names[0]} to itself is nothing to measure")
    said = given(CaliperReading, table, "first", "second", "sigma")
    over, reading = said.get("over", "centres"), said["reading"]
    own = table.length_or_none("sigma", zero=True)
    written = str(table.raw("reading"))
    claims_none = ("+-" in written or "±" in written) and reading.sigma == 0
    if own == 0 or ("sigma" not in table and claims_none):
        table.fault(
            "sigma" if own == 0 else "reading", "no reading is that sure; write e.g. sigma = 0.05, or leave it out"
        )
    table.close()
    return CaliperReading(names[0], names[1], Measured(reading.value, own or reading.sigma or sigma), over)


def _read_diameters(table: Table, sigma: float) -> list[tuple[str, Measured]]:
    inner = table.table("holes")
    found = []
    for name in inner.names if inner else ():
        if inner is not None and inner.raw(name) != "unknown":
            value = inner.measured(name)
            found.append((name, Measured(value.value, value.sigma or sigma)))
    return found


def _read_rough(table: Table) -> list[tuple[str, Point]]:
    inner = table.table("rough")
    return [(name, inner.point(name)) for name in inner.names] if inner else []


def _check(table: Table, measure: Measure) -> None:
    named = {end for one in measure.distances for end in (one.first, one.second)}
    for key, names in (("frame", measure.frame or ()), ("left", (measure.left,) if measure.left else ())):
        for name in names:
            if name not in named or name in measure.edges:
                table.fault(key, f"{name!r} is no hole of any distance")
    for edge in measure.edges:
        if edge not in named:
            table.fault("edges", f"no distance is measured from {edge!r}")
    for one in measure.distances:
        if one.first in measure.edges and one.second in measure.edges:
            table.fault("distance", f"{one.first} to {one.second}: from edge to edge says nothing about a hole")
