"""How a traced face was laid over a part, in words and as data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from gasketcut.length import both

if TYPE_CHECKING:
    from gasketcut.capture.joining.into_job import Named
    from gasketcut.capture.joining.onto_part import FaceLaid


def joined_text(found: FaceLaid, file: str) -> str:
    """For a screen."""
    way = found.laid.way
    turned = f"{'mirrored and ' if way.placing.mirrored else ''}turned by {way.placing.turn:.1f} deg"
    rows = [
        "",
        f"{found.face} laid over {found.part}, {turned}: its holes lie within {both(way.off)} of the studs",
        *(f"  {one.opening.name:<3} {_is(one)}" for one in found.named),
    ]
    if found.asks_flow:
        rows.append("Not said yet: --flow A,B, the two faces in the order in which the gas meets them")
    return "\n".join([*rows, f"gasketcut fit {file} holds the sheet and the faces against each other."])


def joined_data(found: FaceLaid) -> dict[str, Any]:
    """The same as data; mm and degrees."""
    way = found.laid.way
    return {
        "joint": {
            "part": found.part,
            "face": found.face,
            "mirrored": way.placing.mirrored,
            "turn_deg": round(way.placing.turn, 4),
            "studs_off_mm": round(way.off, 4),
            "openings": {one.opening.name: _is(one) for one in found.named},
            "asks_flow": found.asks_flow,
        }
    }


def _is(one: Named) -> str:
    if one.role.what in ("stud", "dowel", "hole"):
        return one.role.what
    return f"{one.role.what} '{one.role.of}'"
