"""What becomes of a bank card in a scan: it gives the scale, is left out, or is asked about; never a part unasked."""

from __future__ import annotations

from collections.abc import Sequence

from shapely.geometry import Polygon

from gasketcut.bank_card import CARD
from gasketcut.capture.edges.things import Thing
from gasketcut.capture.image.picture_file import PictureError
from gasketcut.capture.scale.card import Card
from gasketcut.capture.scale.dpi import Scale
from gasketcut.capture.settings import TraceSettings
from gasketcut.length import IN

AGREE = 0.01
"""Two scales that differ by more than this contradict each other. Our choice."""

_ALIKE = 0.003
"""By how much the scales of two cards may differ: their printed sizes do by less (ISO/IEC 7810), a scanner's two ways
by about that. Our choice."""

_UNLIKE = 0.004
"""By how much two sides of one card may differ before it is said. Our choice."""

_LIKE = 0.03
"""By how much the size may be off, by the dpi, of what may be a card whose edges do not show. Our choice."""


def by_card(
    cards: Sequence[Card], tag: Scale | None, settings: TraceSettings, shape: tuple[int, int], warnings: list[str]
) -> tuple[Scale | None, list[Thing]]:
    """The scale without the user's readings, and the things that are no parts; raise `PictureError` if a card is asked
    for or lies there and cannot be used.

    tag   : the scale by the dpi, if any
    shape : of the picture, rows and columns
    """
    clear = [card for card in cards if card.scale is not None]
    faint = [card.thing for card in cards if card.scale is None and _has_its_size(card.thing, tag)]
    if not clear:
        if faint and (settings.card or not (settings.dpi or settings.along or settings.across)):
            raise PictureError(
                f"something of a bank card's shape lies {place(faint[0].outline, shape)}, but too little of its edge "
                "stands out from the ground to be measured: lay it on paper of another shade, or turn its other side "
                "down; --no-card if it is none"
            )
        if settings.card:
            raise PictureError("no bank card in the picture; lay it beside the part, not touching it, or give --dpi")
        for one in faint:
            warnings.append(
                f"what lies {place(one.outline, shape)} may be a bank card and is left out; --no-card if it is a part"
            )
        return tag, faint
    card = clear[0]
    scale = card.scale
    assert scale is not None
    for other in clear[1:]:
        assert other.scale is not None
        off = max(abs(other.scale.sx / scale.sx - 1), abs(other.scale.sy / scale.sy - 1))
        if off > _ALIKE:
            raise PictureError(
                f"two things have the shape of a bank card, {place(card.thing.outline, shape)} and "
                f"{place(other.thing.outline, shape)}, and their sizes differ by {off * 100:.1f} %: leave one card in "
                "the picture, or give --no-card and --dpi"
            )
        warnings.append(f"two bank cards; the one {place(card.thing.outline, shape)} gives the scale")
    use = settings.card or not (settings.dpi or settings.along or settings.across)
    what = f"something of a bank card's size lies {place(card.thing.outline, shape)}"
    by = f"{IN / scale.sx:.1f} dpi" if abs(scale.sx / scale.sy - 1) < 1e-6 else _both(scale)
    done = "the scale comes from it" if use else "the scale does not come from it"
    warnings.append(f"{what} and gives {by}: {done}; --no-card if it is none")
    unlike = abs(scale.sx / scale.sy - 1)
    if use and unlike > _UNLIKE:
        warnings.append(
            f"by the card's two sides the picture's scales differ by {unlike * 100:.1f} %: few scanners are that far "
            "out of true; is the card whole, and nothing printed along its edge in the paper's shade? Check a length"
        )
    if tag is not None:
        off = max(abs(scale.sx / tag.sx - 1), abs(scale.sy / tag.sy - 1))
        if off > AGREE:
            warnings.append(f"the card and the {tag.source} contradict each other by {off * 100:.1f} %")
    return (scale if use else tag), [*(one.thing for one in clear), *faint]


def place(outline: Polygon, shape: tuple[int, int]) -> str:
    """Where in the picture, in words."""
    x, y = outline.centroid.coords[0]
    across, down = x / shape[1], y / shape[0]
    high = "at the top" if down < 1 / 3 else "at the bottom" if down > 2 / 3 else ""
    wide = "on the left" if across < 1 / 3 else "on the right" if across > 2 / 3 else ""
    return " ".join(word for word in (high, wide) if word) or "in the middle"


def _both(scale: Scale) -> str:
    return f"{IN / scale.sx:.1f} dpi along and {IN / scale.sy:.1f} across"


def _has_its_size(thing: Thing, tag: Scale | None) -> bool:
    """By the dpi; where there is none it may be."""
    if tag is None:
        return True
    area = thing.outline.convex_hull.area * tag.sx * tag.sy
    return bool(abs((area / (CARD[0] * CARD[1])) ** 0.5 - 1) < _LIKE)
