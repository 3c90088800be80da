"""What is in the metal, and what lies where.

Window    something in the metal that the sheet must not cover: a port or a passage.
Asked     an opening of the sheet as it is asked for.
Landmark  something that tells a person which way the sheet lies.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal, NamedTuple

from gasketcut.checked import Checked, Degrees
from gasketcut.described import GASKET, Form, key, keys_only
from gasketcut.parts.words import Placed

Role = Literal["port", "passage"]

ShortText = Annotated[str, Form("text", longest=40)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Window(Checked):
    """A port or passage as it is in the metal.

    cut  True: the sheet is opened here too, by the part's set-back larger; a Placed: by that shape instead;
         False: nothing of its own is cut and the part's opening has to clear it; None: as the kind of part has it
    """

    written: ClassVar[tuple[type, ...]] = (Placed,)

    name: ShortText = key(
        left_out="port or passage",
        what="what passes there, e.g. intake, transfer, impulse",
        example='"impulse"',
        helps=(GASKET,),
    )
    role: Role
    placed: Placed = key(
        name="shape",
        left_out="not measured: then cut says what is opened, and nothing is proven of it",
        what="the window as it is in the metal",
        how="calipers, or a print of the metal on paper",
        example="{ round = 6.0 }",
        form=Form("shape"),
        needed=(GASKET,),
    )
    cut: bool | Placed | None = key(
        None,
        what="false: nothing of its own is cut; true: it is cut, set_back larger; a shape: that is cut instead",
        example="{ round = 7.0 }",
        form=Form("cut"),
        helps=(GASKET,),
    )
    face: ShortText | None = key(
        None, what="of which face of the metal it is; left out: of both", example='"cylinder"', agrees=("part.flow",)
    )
    joins: tuple[str, ...] = key(
        (),
        what="what its opening is meant to run into: the bore, or ports and passages by their names",
        example='["bore"]',
        helps=(GASKET,),
        agrees=("part.opening", "part.port", "part.passage"),
    )


class Asked(NamedTuple):
    """An opening: its shape, how much larger than given it is cut [mm], and for which window of the metal, if any."""

    placed: Placed
    grow: float = 0.0
    window: Window | None = None


@dataclass(frozen=True, slots=True)
class Landmark(Checked):
    """What lies in the direction `toward` (degrees from +x), e.g. the exhaust side."""

    name: ShortText = key(what="what lies there", example='"exhaust side"')
    toward: Degrees = key(
        what="the direction it lies in, counter-clockwise from +x", how="a protractor", example='"90 deg"'
    )


@keys_only
class PartWritten:
    """What a job says of a part in a way of its own."""

    kind: str = key(what="what it is for: its kind has rules and keys of its own", example='"base"', form=Form("word"))
    port: tuple[Window, ...] = key(
        (),
        what="a port in the metal that the sheet must not cover",
        example='[{ name = "transfer left", at = [-22.5, 0.5], shape = { rectangle = [10.0, 15.0], corner = 2.5 } }]',
        needed=(GASKET,),
    )
    passage: tuple[Window, ...] = key(
        (),
        what="a passage in the metal: impulse, oil, water, drain",
        example='[{ name = "impulse", at = [0.0, -11.0], shape = { round = 2.5 } }]',
        helps=(GASKET,),
        agrees=("absent",),
    )
