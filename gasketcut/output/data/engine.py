"""What the job says of the engine, and what was read on it, as plain data; every key ends in its unit."""

from __future__ import annotations

from typing import Any

from gasketcut.job.model import CaliperReading, Clamp, Engine, PortTiming, SquishSpec
from gasketcut.length import Measured
from gasketcut.output.data.number import rounded, rounded_all


def engine_data(engine: Engine, swept_cc: float | None) -> dict[str, Any]:
    """`running` holds only what the job itself says; expansions are in um / (m K). `deck_read` is the table's own deck,
    `deck_mm` the one that is counted with, from whichever way it was measured."""
    return {
        "bore_mm": rounded(engine.bore),
        "stroke_mm": rounded(engine.stroke),
        "rod_mm": rounded(engine.rod),
        "pin_offset_mm": rounded(engine.pin_offset),
        "rpm": rounded(engine.rpm),
        "swept_cc": rounded(swept_cc),
        "chamber_cc": rounded(engine.chamber_cc),
        "crankcase_cc": rounded(engine.crankcase_cc),
        "crankcase_at": engine.crankcase_at,
        "squish_band_mm": rounded(engine.squish_band),
        "ports": [_port(port) for port in engine.ports],
        "blowdown_deg": rounded(engine.blowdown),
        "deck_read": measured_data(engine.deck_read) if engine.deck_read else None,
        "deck_mm": rounded(engine.deck),
        "skirt_mm": rounded(engine.skirt),
        "skirt_width_mm": rounded(engine.skirt_width),
        "ring_pin_deg": rounded(engine.ring_pin),
        "altitude_m": rounded(engine.altitude_m),
        "gauge_kpa": rounded(engine.gauge_kpa),
        "ratio": rounded(engine.ratio),
        "running": {
            f"{key}_um_m_k" if key.endswith("_expansion") else key: rounded(value) for key, value in engine.running
        },
    }


def _port(port: PortTiming) -> dict[str, Any]:
    return {
        "name": port.name,
        "kind": port.kind,
        "opens_deg": rounded(port.opens),
        "duration_deg": rounded(port.duration),
        "travel_mm": rounded(port.travel),
        "depth_mm": rounded(port.depth),
        "width_mm": rounded(port.width),
        "height_mm": rounded(port.height),
        "corner_mm": rounded(port.corner),
        "bridge_mm": rounded(port.bridge),
        "count": port.count,
        "area_mm2": rounded(port.area_mm2),
        "floor_mm": rounded(port.floor),
        "centre_deg": rounded(port.centre),
    }


def readings_data(squish: SquishSpec) -> dict[str, Any]:
    """What was read and what is wanted; a `sigma_mm` of None: nobody said how sure it is."""
    return {
        "target_mm": rounded(squish.target),
        "least_mm": rounded(squish.least),
        "most_mm": rounded(squish.most),
        "gasket_present": measured_data(squish.gasket_present),
        "solder_mm": rounded(squish.solder),
        "readings": [{"at": reading.at, **measured_data(reading.value)} for reading in squish.readings],
        "measured": measured_data(squish.measured) if squish.measured else None,
        "deck": measured_data(squish.deck) if squish.deck else None,
        "protrusion": measured_data(squish.protrusion) if squish.protrusion else None,
        "head_gasket": measured_data(squish.head_gasket) if squish.head_gasket else None,
        "head_recess": measured_data(squish.head_recess) if squish.head_recess else None,
        "gasket_recess": measured_data(squish.gasket_recess) if squish.gasket_recess else None,
        "sealant_mm": rounded_all(squish.sealant),
    }


def distance_data(distance: CaliperReading) -> dict[str, Any]:
    """A caliper reading over two holes."""
    reading = measured_data(distance.reading)
    return {"from": distance.first, "to": distance.second, "over": distance.over, **reading}


def measured_data(length: Measured) -> dict[str, Any]:
    """A reading with its standard deviation."""
    return {"value_mm": rounded(length.value), "sigma_mm": rounded(length.sigma or None, 6)}


def clamp_data(clamp: Clamp) -> dict[str, Any]:
    """The bolts of the base joint as the job has them."""
    return {
        "bolts": clamp.bolts,
        "size": clamp.size,
        "class": clamp.strength,
        "torque_nm": rounded(clamp.torque_nm),
        "torque_coefficient": rounded(clamp.k),
        "gasket_mm2": rounded(clamp.area_mm2),
    }
