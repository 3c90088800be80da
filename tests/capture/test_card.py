"""A bank card beside the part: found in any print, said, used or refused; never traced as a part unasked."""

import io

import numpy as np
import pytest

from gasketcut.capture.image.picture_file import PictureError, read_scan
from gasketcut.capture.seeing.in_scan import seen_in_scan
from gasketcut.capture.settings import TraceSettings
from gasketcut.capture.traced import trace
from tests.capture.shaded import card, card_at, lower_card, part_at, shaded, upper_card
from tests.scans import BORE, rounded, scan

pytest.importorskip("contourpy")

PIXEL = 25.4 / 150


def seen(picture, **how):
    return seen_in_scan(read_scan(picture), TraceSettings(**how))


def png(picture):
    stream = io.BytesIO()
    picture.save(stream, "PNG")
    return stream.getvalue()


def off_bore(part):
    return abs(2 * max(hole.circle.radius for hole in part.holes) - BORE)


@pytest.mark.parametrize("turn", [0.0, 30.0])
def test_a_bank_card_beside_the_part_gives_the_scale(turn):
    found = trace(png(scan(page=(190.0, 110.0), at=(40.0, 52.0), card=turn)))

    assert found.scale.source == "card"
    # A side along the pixels' rows is less sure, as all its places cut the pixels alike.
    assert (found.scale.sx, found.scale.sy) == pytest.approx((25.4 / 300,) * 2, rel=2e-4 if turn % 90 == 0 else 2e-5)
    assert len(found.parts) == 1
    assert off_bore(found.parts[0]) < 0.005


@pytest.mark.slow
@pytest.mark.parametrize("print_", range(6))
def test_whatever_is_printed_on_the_card(print_):
    """Patches from black to nearly the paper's white, up to the card's very edge."""
    found = trace(png(scan(page=(190.0, 110.0), at=(40.0, 52.0), card=7.0 * print_, print_=print_)))

    assert found.scale.source == "card"
    assert (found.scale.sx, found.scale.sy) == pytest.approx((25.4 / 300,) * 2, rel=2e-4)
    assert len(found.parts) == 1
    assert found.dust == 0
    assert off_bore(found.parts[0]) < 0.01


def of_two_tones(dark=60, light=240, paper=150):
    """Its upper half darker than the paper, its lower half lighter."""
    place = (120.0, 52.0), 4.0
    return shaded(paper, part_at(90), (upper_card, dark, *place), (lower_card, light, *place))


def test_a_card_lighter_than_the_paper_and_darker():
    found = seen(of_two_tones())

    assert found.scale.source == "card"
    assert (found.scale.sx, found.scale.sy) == pytest.approx((PIXEL, PIXEL), rel=5e-4)
    assert len(found.silhouettes) == 1


def test_a_card_is_said_with_the_scale_it_gives():
    (said,) = [one for one in seen(shaded(245, part_at(90), card_at(60))).warnings if "bank card" in one]

    assert "on the right" in said
    assert "150.0" in said
    assert "--no-card" in said


@pytest.mark.parametrize("how", [{"dpi": 150.0}, {"dpi": 139.0}])
def test_a_card_that_is_not_used_is_no_part_either(how):
    """A light card beside a light part became a second part."""
    found = seen(shaded(245, part_at(200), card_at(215)), **how)

    assert found.scale.source == "dpi as given"
    assert len(found.silhouettes) == 1
    assert any("the scale does not come from it" in one for one in found.warnings)
    assert any("contradict" in one for one in found.warnings) == (how["dpi"] == 139.0)


def test_no_card_means_that_it_is_a_part():
    found = seen(shaded(245, part_at(200), card_at(215), tag=150), card=False)

    assert found.scale.source == "dpi of the file"
    assert len(found.silhouettes) == 2


@pytest.mark.parametrize(
    "shape",
    [
        lambda u, v: rounded(u, v, 53.98, 80.0, 3.18),  # too short
        lambda u, v: rounded(u, v, 53.98, 85.60, 0.05),  # a slip of paper: its corners are sharp
        lambda u, v: rounded(u, v, 53.98, 85.60, 9.0),
    ],
)
def test_what_is_not_quite_a_card_is_none(shape):
    picture = shaded(245, part_at(60), (shape, 100, (120.0, 52.0), 4.0), tag=150)
    with pytest.raises(PictureError, match="no bank card"):
        seen(picture, card=True)

    assert seen(picture).scale.source == "dpi of the file"


def test_two_cards_that_agree_give_one_scale_and_are_both_no_parts():
    picture = shaded(245, part_at(90), card_at(60), card_at(215, x=181.0, turn=-2.0), page=(220.0, 105.0))
    found = seen(picture)

    assert found.scale.sx == pytest.approx(PIXEL, rel=5e-4)
    assert len(found.silhouettes) == 1
    assert any("two bank cards" in one for one in found.warnings)


def test_two_cards_that_do_not_agree_are_refused():
    def larger(u, v):
        return card(u / 1.02, v / 1.02)

    picture = shaded(245, part_at(90), card_at(60), (larger, 215, (181.0, 52.0), -2.0), page=(220.0, 105.0))
    with pytest.raises(PictureError, match=r"differ by 2\.0 %: leave one card"):
        seen(picture)


def test_a_card_alone_is_no_part():
    with pytest.raises(
        PictureError,
        match="no part beside it: lay the part on paper of another shade than its own; if what was taken for a card",
    ):
        seen(shaded(245, card_at(90)))


@pytest.mark.parametrize("tag", [None, 100])
def test_a_card_too_faint_to_measure_is_refused_or_left_out_but_no_part(tag):
    """So much grain on so little contrast that its sides are not sure enough."""
    picture = shaded(200, part_at(60), card_at(212), grain=5.0, tag=tag, dpi=100)
    with pytest.raises(PictureError, match="lay it on paper of another shade"):
        seen(picture)
    found = seen(picture, dpi=100.0)

    assert len(found.silhouettes) == 1
    assert any("may be a bank card" in one for one in found.warnings)
    assert np.ptp(found.silhouettes[0].outer, axis=0) * 0.254 == pytest.approx([62.0, 65.6], abs=0.6)


@pytest.mark.slow
def test_a_card_by_a_rasterisers_eyes():
    """Drawn by another hand four times as fine, blurred, averaged down, kept as JPEG."""
    from gasketcut.shape.loop import Circle
    from tests.capture import rendered

    ring = rendered.Thing((Circle((0.0, 0.0), 28.0), Circle((0.0, 0.0), BORE / 2)), 0.35, (36.0, 50.0))
    for light, turn in ((0.62, 90.0), (0.05, 93.0)):
        things = (ring, rendered.card((100.0, 50.0), light, turn))
        how = rendered.Disturbed(jpeg=85, grain=2.0)
        picture = rendered.picture_of(things, page=(135.0, 100.0), dpi=150, ground=0.75, how=how)
        found = trace(rendered.png_of(picture, None))

        assert (found.scale.sx, found.scale.sy) == pytest.approx((PIXEL, PIXEL), rel=5e-4)
        assert off_bore(found.parts[0]) < 0.02


def test_a_part_in_a_cards_place_is_traced_when_it_is_asked_for():
    def plate(u, v):
        return np.maximum(card(u, v), 10.0 - np.hypot(u, v))

    found = trace(shaded(245, (plate, 90, (60.0, 52.0), 3.0), tag=150), TraceSettings(card=False))
    (hole,) = found.parts[0].holes

    assert 2 * hole.circle.radius == pytest.approx(20.0, abs=0.03)
