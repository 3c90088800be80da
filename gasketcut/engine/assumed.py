"""What an answer rests on although the job does not say it: each assumption that was used, and the key in its place.

The values stand where they are chosen: `engine/assumptions.py`, the profiles, the defaults of the job's keys.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gasketcut.described import keys_of
from gasketcut.engine.assumptions import READING_SIGMA, SHEET_SCATTER
from gasketcut.engine.deck import deck_of
from gasketcut.engine.ports.crank import crank_of
from gasketcut.engine.squish.compression import POLYTROPIC
from gasketcut.engine.squish.effects import State
from gasketcut.engine.stack.choices import Layer
from gasketcut.engine.stack.clamped import Origin
from gasketcut.engine.stack.fitted import FittedStocks
from gasketcut.job.model import Clamp, Engine, Job, SquishSpec
from gasketcut.length import Units, both, in_order, plus_minus
from gasketcut.profile.squish import SCALED, Running

_RUNNING = "engine.running"


@dataclass(frozen=True, slots=True)
class Assumed:
    """What was assumed, with which value, and the key of the job that says it instead; None where there is none."""

    what: str
    value: str
    key: str | None

    def in_order(self, units: Units) -> Assumed:
        """With its lengths, inches first where the job says inches."""
        return Assumed(self.what, in_order(self.value, units), self.key)


def assumed(
    job: Job,
    running: Running,
    band: tuple[float, float],
    layers: tuple[Layer, ...],
    shelf: FittedStocks,
    after: State,
) -> tuple[Assumed, ...]:
    """Everything that the squish answer took without being told, in the order of the work.

    running : masses, sections and temperatures where the job names none
    band    : floor and ceiling of the squish [mm]
    layers  : of the recommended stack; `shelf` is how thick each stock is when clamped
    after   : the engine as it is planned
    """
    spec, engine = job.squish, job.engine
    if spec is None:
        return ()
    found = [*_readings(spec), *_sum(spec, engine), *_band(spec, band), *_sheets(spec, layers, shelf)]
    if job.clamp is not None and shelf.load is not None and not shelf.load.by_studs:
        found += _clamp(job.clamp)
    if engine is not None:
        found += [*_crown(job, engine), *_pressure(engine, after), *_running(engine, running)]
    return tuple(one.in_order(job.units) for one in found)


def _readings(spec: SquishSpec) -> Iterator[Assumed]:
    sigma = plus_minus(READING_SIGMA)
    if any(not reading.value.sigma for reading in spec.readings):
        yield Assumed("how sure a solder reading is", sigma, "squish.readings.value")
    if spec.measured is not None and not spec.measured.sigma:
        yield Assumed("how sure the mean of the readings is", sigma, "squish.measured")
    if len({reading.at for reading in spec.readings}) < 2:
        yield Assumed("tight place along the pin", "none, left and right alike", "squish.readings")
    if spec.gasket_present.value and not spec.gasket_present.sigma:
        yield Assumed("thickness of the gasket that lay there while measuring", "exact", "squish.gasket_present")
    elif "gasket_present" not in spec.said and not spec.gasket_present.value:
        yield Assumed("gasket under the cylinder while measuring", "none", "squish.gasket_present")


def _sum(spec: SquishSpec, engine: Engine | None) -> Iterator[Assumed]:
    """What was left out where the gap, or the deck below the solder, is a sum."""
    solder = bool(spec.readings) or spec.measured is not None
    if not spec.is_summed(engine) if not solder else spec.head_gasket is None or spec.head_recess is None:
        return
    if not solder:
        for one in spec.decks(engine):
            if not one.deck.sigma:
                yield Assumed("how sure the deck is", plus_minus(READING_SIGMA), ".".join(map(str, one.key)))
    if spec.head_gasket is None:
        yield Assumed("head gasket", "none", "squish.head_gasket")
    if spec.head_recess is None:
        yield Assumed("squish band against the head's face", "level with it", "squish.head_recess")
    if spec.gasket_recess is None and spec.head_gasket is not None and spec.head_gasket.value:
        yield Assumed("recess of the cylinder for the head gasket", "none", "squish.gasket_recess")
    for name, part in (("head_gasket", spec.head_gasket), ("head_recess", spec.head_recess)):
        if part is not None and part.value and not part.sigma:
            yield Assumed(f"how sure {name} is", plus_minus(READING_SIGMA), f"squish.{name}")


def _band(spec: SquishSpec, band: tuple[float, float]) -> Iterator[Assumed]:
    if spec.least is None:
        yield Assumed("floor of the squish", both(band[0]), "squish.least")
    if spec.most is None:
        yield Assumed("ceiling of the squish", both(band[1]), "squish.most")
    usual = next(each.default for each in keys_of(SquishSpec) if each.name == "risk")
    if "risk" not in spec.said and spec.risk == usual:
        yield Assumed("chance that you accept of less than the floor", f"{spec.risk:.1%}", "squish.risk")


def _sheets(spec: SquishSpec, layers: tuple[Layer, ...], shelf: FittedStocks) -> Iterator[Assumed]:
    for layer in layers:
        what = f"thickness of {layer.stock} when clamped"
        match shelf.base[layer.stock].origin:
            case Origin.NOMINAL:
                yield Assumed(what, f"nominal +- {SHEET_SCATTER:.0%}", "stock.fitted")
            case Origin.TESTED | Origin.PRESSED_LESS:
                yield Assumed(what, "by the published compressibility of its material", "stock.fitted")
    if "sealant" not in spec.said and not spec.sealant[2]:
        yield Assumed("sealant between the faces", "none", "squish.sealant")


def _clamp(clamp: Clamp) -> Iterator[Assumed]:
    """What the stress on the gasket, and the bolts' share of their proof load, were worked out with."""
    values = {"bolts": f"{clamp.bolts}", "class": clamp.strength, "k": f"{clamp.k:g}"}
    for each in keys_of(Clamp):
        if each.name in values and each.name not in clamp.said and getattr(clamp, each.fields[0]) == each.default:
            yield Assumed(each.key.what, values[each.name], f"clamp.{each.name}")


def _crown(job: Job, engine: Engine) -> Iterator[Assumed]:
    by_depth = any(port.depth is not None or port.floor is not None for port in engine.ports)
    if by_depth and deck_of(job) is None and not engine.deck:
        yield Assumed("piston's crown at TDC", "flush with the deck", "engine.deck")
    timed = crank_of(engine) is not None and bool(engine.ports)
    if timed and not engine.pin_offset and "pin_offset" not in engine.said:
        yield Assumed("piston pin", "on the bore's axis", "engine.pin_offset")


def _pressure(engine: Engine, after: State) -> Iterator[Assumed]:
    if after.gauge_kpa is None and engine.gauge_kpa is None:
        return
    if not engine.altitude_m and not any(key.startswith("altitude") for key in engine.said):
        yield Assumed("height above the sea", "0 m", "engine.altitude_m")
    yield Assumed("exponent of compression while cranking", f"{POLYTROPIC[0]:g} to {POLYTROPIC[1]:g}", None)


def _running(engine: Engine, running: Running) -> Iterator[Assumed]:
    """Of what takes from the gap, where that is worked out."""
    crank = crank_of(engine)
    if crank is None or engine.rpm is None:
        return
    said = dict(engine.running)
    for each in keys_of(Running):
        value = getattr(running, each.name)
        if each.name in said:
            continue
        if value is None:
            shown = f"{both(2 * crank.stroke, 1)}, twice the stroke"
        else:
            times = " x" if each.unit.startswith("1e") else ""
            shown = both(value) if each.name.endswith("_mm") else f"{value:.3g}{times} {each.unit}"
            shown += ", by the bore" if each.name in SCALED and engine.bore is not None else ""
        yield Assumed(each.key.what, shown, f"{_RUNNING}.{each.name}")
