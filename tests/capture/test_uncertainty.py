"""Figures of a trace with their ranges: what each share of them is, and whether they hold what is true."""

from dataclasses import replace
from math import hypot, sqrt

import numpy as np
import pytest

from gasketcut.capture.edges.fitted_edge import round_edge
from gasketcut.capture.image.picture_file import read_scan
from gasketcut.capture.job_text import job_text
from gasketcut.capture.known_distance import CALIPER, KnownDistance, scale_by
from gasketcut.capture.measured import TWO_SIDED_95
from gasketcut.capture.roles.said import PartSaid
from gasketcut.capture.second import with_second
from gasketcut.capture.seeing import lettered
from gasketcut.capture.seeing.in_scan import seen_in_scan
from gasketcut.capture.seeing.seen import with_calipers
from gasketcut.capture.settings import TraceSettings
from gasketcut.capture.traced import trace
from gasketcut.capture.traced_part import part_of
from gasketcut.capture.uncertainty.card_spread import card_spread
from gasketcut.capture.uncertainty.edge_shift import edge_shift
from gasketcut.capture.uncertainty.figures import (
    diameter,
    distance,
    distances,
    place,
    size,
)
from gasketcut.capture.uncertainty.ripple import ripple
from gasketcut.capture.uncertainty.scale_spread import SCANNER, ScaleSpread, alike, each
from gasketcut.cli.scale_options import Distance
from gasketcut.job.calipers import CaliperReading
from gasketcut.length import Measured as Length
from gasketcut.output.data.trace import trace_data, trace_text
from tests.capture.rendered import png_of
from tests.scans import BORE, rounded, scan

pytest.importorskip("contourpy")


def of_file(tmp_path, name="scan.png", dpi=150, tag=150, **how):
    path = tmp_path / name
    scan(dpi=dpi, **how).save(path, dpi=(tag, tag))
    return trace(path)


def test_a_scale_spread_by_its_model_and_by_drawing():
    """Two thousand scales drawn, each applied to one length, one place and one circle."""
    spread = ScaleSpread(0.002**2, 0.001**2, 0.5 * 0.002 * 0.001, 0.0005)
    chance = np.random.default_rng(1)
    scales = chance.multivariate_normal([0, 0], [[spread.xx, spread.xy], [spread.xy, spread.yy]], 4000)
    x, y = 30.0 * (1 + scales[:, 0]), 40.0 * (1 + scales[:, 1])
    x = x + chance.normal(0, spread.skew, 4000) * 40.0
    drawn = np.std(np.hypot(x, y))

    assert spread.of_length(30.0, 40.0) == pytest.approx(drawn, rel=0.05)
    assert spread.of_place(30.0, 40.0) == pytest.approx((np.std(x), np.std(y)), rel=0.05)
    assert spread.round == pytest.approx(np.std(scales.mean(axis=1)), rel=0.05)
    assert (each(0.002).round, alike(0.002).round) == pytest.approx((0.002 / sqrt(2), 0.002))
    assert spread.wider(3.0).of_length(3.0, 4.0) == pytest.approx(3 * spread.of_length(3.0, 4.0))


def test_a_card_has_the_limits_of_its_standard():
    """ISO/IEC 7810: 85.47 to 85.72 mm by 53.92 to 54.03 mm, any of them as likely as another."""
    along, across, askew = (card_spread(lies) for lies in ("along", "across", "askew"))

    assert TWO_SIDED_95 * sqrt(along.xx) * 85.60 == pytest.approx(0.95 * 0.125)
    assert TWO_SIDED_95 * sqrt(along.yy) * 53.98 == pytest.approx(0.95 * 0.055)
    assert (across.xx, across.yy) == (along.yy, along.xx)
    assert askew.worst > SCANNER / 2  # one scale for both ways leaves what the scanner's two differ by
    assert askew.round < along.round * 1.01


def test_one_caliper_distance_leaves_the_other_way_to_the_scanner(tmp_path):
    part = of_file(tmp_path, turn=0.0).parts[0]
    one = scale_by(part, KnownDistance("left", "right", 60.0), None).spread
    both = scale_by(part, KnownDistance("left", "right", 60.0), KnownDistance("bottom", "top", 64.0)).spread
    rough = scale_by(part, KnownDistance("left", "right", 60.0, 0.2), KnownDistance("bottom", "top", 64.0)).spread

    assert sqrt(one.yy) == pytest.approx(SCANNER * sqrt(2), rel=0.1)
    assert sqrt(both.yy) == pytest.approx(hypot(0.02, 0.005) / 64.0, rel=0.01)
    assert sqrt(rough.xx) == pytest.approx(0.2 / 60.0, rel=0.02)


def test_a_caliper_distance_may_say_how_sure_it_is():
    plain, unsure, inches = (
        Distance().convert(text, None, None) for text in ("A:B=48.32", "A:B=48.32+-0.1", "left:right=2 in +- 0.002")
    )

    assert (plain.mm, plain.sigma) == (48.32, CALIPER)
    assert (unsure.mm, unsure.sigma) == (48.32, 0.1)
    assert (inches.mm, inches.sigma) == pytest.approx((50.8, 0.0508))


def test_the_noise_of_a_circle_is_that_of_many():
    """Points off by noise that goes over eight neighbours alike: as many circles are fitted, and spread as stated."""
    chance = np.random.default_rng(3)
    turns = np.linspace(0, 2 * np.pi, 400, endpoint=False)
    found = []
    for _ in range(60):
        off = np.repeat(chance.normal(0, 0.003, 50), 8)
        found.append(round_edge(np.column_stack([np.cos(turns), np.sin(turns)]) * (10 + off)[:, None]))
    spread = float(np.std([one.circle.radius for one in found]))

    assert spread == pytest.approx(float(np.sqrt(np.mean([one.noise**2 for one in found]))), rel=0.35)


def test_a_contour_along_the_pixels_rows_is_off_by_the_ripple():
    """A straight blurred edge at twenty places within a pixel, as the contour finds it: straight between two pixels."""
    from scipy.special import erf

    blur, offs = 0.45, []
    for place_ in np.linspace(-0.5, 0.5, 20, endpoint=False):
        light = 0.5 * (1 + erf((np.arange(-6, 7) - place_) / (blur * sqrt(2))))
        offs.append(np.interp(0.5, light, np.arange(-6, 7)) - place_)

    assert ripple(blur * sqrt(2 * np.pi)) == pytest.approx(np.std(offs), rel=0.1)


def test_edges_seen_at_unlike_levels_are_less_sure(tmp_path):
    """Every other hole drawn 0.2 pixels too large, as a level would that is wrong there."""
    scan(dpi=150).save(tmp_path / "s.png", dpi=(150, 150))
    picture = read_scan(tmp_path / "s.png")
    rings = seen_in_scan(picture, TraceSettings()).silhouettes[0].rings
    unlike = [ring if n % 2 else larger(ring, 0.2) for n, ring in enumerate(rings)]

    assert edge_shift(picture.light, rings).sigma < 0.03
    assert 0.05 < edge_shift(picture.light, unlike).sigma < 0.2


def larger(ring, by):
    spokes = ring - ring.mean(axis=0)
    return ring + by * spokes / np.hypot(*spokes.T)[:, None]


def test_centres_are_surer_than_widths_and_sizes_have_ranges(tmp_path):
    found = of_file(tmp_path, dpi=300, tag=300)
    (part,) = found.parts
    by_size = sorted(part.holes, key=lambda hole: hole.circle.radius)
    bore = by_size[-1]
    small = by_size[0]

    assert diameter(part, bore).sigma == pytest.approx(BORE * SCANNER / sqrt(2), rel=0.1)
    assert 0.003 < diameter(part, small).half_range < 0.03
    apart = distance(part, small, bore)
    assert apart.sigma == pytest.approx(apart.value * SCANNER * 0.7, rel=0.3)
    assert [one.sigma for one in size(part)] == pytest.approx([60 * SCANNER, 64 * SCANNER], rel=0.15)
    assert len(distances(part)) == 10
    assert all(one.sigma < abs(one.value) * SCANNER + 0.02 for one in place(part, small))


def test_json_text_and_job_state_ranges_of_95(tmp_path):
    found = of_file(tmp_path)
    data, said, job = trace_data(found), trace_text(found, "old.toml"), job_text(found, "old", [PartSaid()])
    hole = data["holes"][0]

    figures = [*hole["at"], hole["diameter_mm"], *data["outline"]["size_mm"], data["outline"]["area_mm2"]]
    figures += [data["scale"]["sx"], data["scale"]["sy"], *(one["distance_mm"] for one in data["distances"])]
    assert len(data["distances"]) == 10
    assert all(set(one) == {"value", "range_95"} for one in figures)
    assert all(one["range_95"][0] < one["value"] < one["range_95"][1] for one in figures)
    assert not {"sigma", "sigma_mm"} & {*hole, *data["scale"]}
    assert {key for one in data["stretches"] for key in one} == {"number", "of", "shape", "from", "to"}
    half = (hole["diameter_mm"]["range_95"][1] - hole["diameter_mm"]["range_95"][0]) / 2
    assert f"{hole['diameter_mm']['value']:.3f} +- {half:.3f} mm" in said
    meaning = "he true figure lies within the +- 95 times in 100; the scale's own share is in it"
    assert meaning in said
    assert meaning in job


def test_a_second_scan_of_a_part_without_round_holes_says_so_and_keeps_its_warnings(tmp_path):
    """It asked whether it was the same part, as both showed no holes."""
    plain = ((lambda u, v: rounded(u, v, 50.0, 30.0, 5.0), 0.0, 0.0),)
    first, second = of_file(tmp_path, shapes=plain), of_file(tmp_path, "b.png", shapes=plain, turn=93.0)
    both = with_second(first, replace(second, warnings=("a speck",)))

    assert "no round hole" in both.warnings[-1]
    assert not any("same part" in text for text in both.warnings)
    assert "the second scan: a speck" in both.warnings
    assert both.parts == first.parts


def test_readings_count_once_however_often_the_letters_are_looked_at(monkeypatch, tmp_path):
    """Two rounds for letters that change at first: the scale and its range are those of one."""
    scan(dpi=150).save(tmp_path / "s.png", dpi=(148, 148))
    seen = seen_in_scan(read_scan(tmp_path / "s.png"), TraceSettings())
    part = part_of(seen.silhouettes[0], seen.scale, None)
    a, b, apart = distances(part)[0]
    reading = CaliperReading(first=a.name, second=b.name, reading=Length(apart.value * 0.99, 0.02))
    settings = TraceSettings(calipers=(reading,))
    once = with_calipers(seen, settings)
    answers = iter((False, True))
    monkeypatch.setattr(lettered, "_same_letters", lambda *_: next(answers))
    twice = with_calipers(seen, settings)

    assert (twice.scale.sx, twice.scale.sy) == pytest.approx((once.scale.sx, once.scale.sy), rel=1e-6)
    assert twice.scale.spread.xx == pytest.approx(once.scale.spread.xx, rel=1e-6)
    assert twice.warnings == once.warnings


@pytest.mark.slow
def test_two_scans_that_differ_more_than_both_state_are_less_sure(tmp_path):
    first, second = of_file(tmp_path, stretch=1.012), of_file(tmp_path, "b.png", stretch=1.012, turn=93.0)
    good = with_second(of_file(tmp_path, "c.png"), of_file(tmp_path, "d.png", turn=93.0))
    off = with_second(first, second)
    hole = first.parts[0].holes[0]

    assert diameter(off.parts[0], hole).sigma > 1.5 * diameter(first.parts[0], hole).sigma
    assert off.scale.sigma > 1.5 * first.scale.sigma
    assert "that much wider" in off.warnings[-1]
    assert good.scale.sigma == pytest.approx(SCANNER)
    assert "wider" not in good.warnings[-1]


def test_what_runs_off_the_edge_is_less_sure_and_a_tear_is_another_matter():
    part = seen_in_scan(read_scan(png_of(scan(dpi=150), 150)), TraceSettings()).parts(None)[0]

    def half(deviation):
        return size(replace(part, outline=replace(part.outline, deviation=deviation)))[0].half_range

    by_noise = 4 * part.outline.noise
    assert half(0.0) == half(by_noise)
    # Either side anywhere within 0.05 mm more, equally likely: its sigma is that over the root of 3.
    more = TWO_SIDED_95 * sqrt(2) * 0.05 / sqrt(3)
    assert half(by_noise + 0.05) == pytest.approx(hypot(half(0.0), more))
    assert half(3.0) == half(1.0) < hypot(half(0.0), 2 * more)
