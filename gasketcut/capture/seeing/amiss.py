"""What is amiss in a scan, said by what was seen and what to do."""

from __future__ import annotations

from collections.abc import Sequence

from gasketcut.capture.edges.things import Thing
from gasketcut.capture.image.picture_file import PictureError
from gasketcut.capture.seeing.by_card import place
from gasketcut.capture.seeing.picked import is_part
from gasketcut.capture.settings import TraceSettings

_LINE = 0.0004
"""Of the largest line's area: a smaller one of ink is none. Our choice."""

_DOTS, _EVEN = 40, 0.15
"""As many things alike in size make it the target sheet; by how much their sizes may differ. Our choice."""


def things_to_trace(
    things: Sequence[Thing],
    left_out: Sequence[Thing],
    shape: tuple[int, int],
    settings: TraceSettings,
    warnings: list[str],
) -> tuple[list[Thing], list[Thing]]:
    """The things to trace, largest first, and those that are too small for it; raise `PictureError` if there is none
    or it cannot be traced.

    left_out : cards
    shape    : of the picture, rows and columns
    """
    _no_target(things)
    whole = [one for one in things if not one.sides]
    for one in things:
        if one.sides and not one.is_strip and (not whole or is_part(one.area, whole[0].area)):
            side = " and ".join(one.sides)
            if not whole or one.area > whole[0].area:
                what = "the part" if left_out else "the part, or a card beside it,"
                raise PictureError(f"{what} runs out of the picture at the {side}; scan it with a margin all round")
            warnings.append(
                f"something runs out of the picture at the {side} and is left out; if it is a part or a card, scan it "
                "with a margin all round"
            )
    if not whole:
        raise no_part(bool(left_out))
    parts: list[Thing] = []
    small: list[Thing] = []
    for one in whole:
        if any(one.lighter == part.lighter and part.outline.contains(one.outline) for part in parts):
            continue
        if not (one.area > _LINE * whole[0].area if settings.ink else is_part(one.area, whole[0].area)):
            small.append(one)
            continue
        if one.lighter is None:
            raise PictureError(
                f"the part {place(one.outline, shape)} is darker than the paper in one place and lighter in another: "
                "lay paper behind it that is darker or lighter than all of it, and scan it again"
            )
        parts.append(one)
    return parts, small


def no_part(has_card: bool) -> PictureError:
    """Nothing stands out from the ground, or a card alone."""
    if has_card:
        return PictureError(
            "there is a bank card but no part beside it: lay the part on paper of another shade than its own; if what "
            "was taken for a card is the part, give --no-card"
        )
    return PictureError(
        "the picture has one shade only, so no part shows: lay the part on white paper, or a light one on black"
    )


def unknown_scale(things: Sequence[Thing], *, is_photo: bool) -> PictureError:
    """With what may be a card that was cut off; of a camera's picture, what gives a photograph its scale."""
    if is_photo:
        return PictureError(
            "a camera took this picture, and nothing in it gives a scale: lay the part on the sheet of gasketcut "
            "target and give --target, or on a bare sheet of paper and give --sheet"
        )
    text = "the scale is not known; give --dpi, --along A:B=mm and --across, or lay a bank card beside the part"
    cut = [one for one in things if one.sides and not one.is_strip]
    if cut:
        text += f"; what runs out of the picture at the {' and '.join(cut[0].sides)} has to lie in it whole to be one"
    return PictureError(text)


def _no_target(things: Sequence[Thing]) -> None:
    """A photograph of the target sheet that nobody called one."""
    areas = sorted(one.area for one in things if not one.sides)
    alike = max(
        (sum(area <= other <= area * (1 + _EVEN) for other in areas[n:]) for n, area in enumerate(areas)), default=0
    )
    if alike >= _DOTS:
        raise PictureError(
            f"{alike} dots of one size are in the picture: if it is a photograph on the sheet of gasketcut target, "
            "give --target"
        )
