"""Scans of known gaskets traced: diameters, places, arcs; and every picture that is none."""

import dataclasses
import json
import re
import sys
from math import cos, dist, hypot, radians, sin
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from click.testing import CliRunner
from PIL import Image
from scipy.ndimage import gaussian_filter
from shapely.affinity import rotate
from shapely.geometry import LinearRing, Polygon

from gasketcut import read_job
from gasketcut.capture.edges.fitted_edge import round_edge
from gasketcut.capture.image.picture_file import PictureError, read_scan
from gasketcut.capture.known_distance import KnownDistance
from gasketcut.capture.proposals.choice import accepting
from gasketcut.capture.proposals.symmetry import symmetry_of
from gasketcut.capture.settings import TraceSettings
from gasketcut.capture.traced import trace
from gasketcut.cli import main
from gasketcut.shape.loop import Loop
from tests.capture.torn_scans import lobes
from tests.making import make
from tests.scans import BORE, CORNER, HEIGHT, HOLES, WIDTH, rounded, scan, srgb

pytest.importorskip("contourpy")

SETTINGS = {field.name for field in dataclasses.fields(TraceSettings)}


def traced(picture, tmp_path, name="scan.png", **how):
    path = tmp_path / name
    tags = how.pop("tags", {"dpi": (how.pop("tag", 300),) * 2})
    picture.save(path, **tags)
    return trace(path, TraceSettings(**{name: how.pop(name) for name in SETTINGS & how.keys()}), **how)


def errors(part, turn=3.0):
    """Worst error of the bore, of the small holes, of their places to each other, of the corner radii [mm]."""
    by_size = sorted(part.holes, key=lambda hole: -hole.circle.radius)
    bore, small = by_size[0], by_size[1:]
    c, s = cos(radians(turn)), sin(radians(turn))
    bore_at = bore.circle.center
    off, widths = [], []
    for x, y, width in HOLES:
        want = (bore_at[0] + c * x - s * y, bore_at[1] + s * x + c * y)
        near = min(
            small, key=lambda hole, want=want: hypot(hole.circle.center[0] - want[0], hole.circle.center[1] - want[1])
        )
        off.append(hypot(near.circle.center[0] - want[0], near.circle.center[1] - want[1]))
        widths.append(abs(2 * near.circle.radius - width))
    loop = part.outline.contour
    radii = [segment.radius for segment in loop.segments() if segment.bulge]
    return abs(2 * bore.circle.radius - BORE), max(widths), max(off), max(abs(radius - CORNER) for radius in radii)


def strayed(part, turn=3.0):
    """How far the outline runs off the true one, root mean square [mm]; the bore shows where that is."""
    middle = max(part.holes, key=lambda hole: hole.circle.radius).circle.center
    line = LinearRing(part.outline.contour.flattened(0.0005))
    x, y = np.array([line.interpolate(share, normalized=True).coords[0] for share in np.linspace(0, 1, 2000)]).T
    x, y, c, s = x - middle[0], y - middle[1], cos(radians(turn)), sin(radians(turn))
    return float(np.sqrt(np.mean(rounded(c * x + s * y, -s * x + c * y, WIDTH, HEIGHT, CORNER) ** 2)))


def sharpened(picture, amount, radius):
    """Unsharp masking, as scanners and telephones do it to the encoded picture."""
    grey = np.asarray(picture, dtype=float)
    made = grey + amount * (grey - gaussian_filter(grey, radius))
    return Image.fromarray(np.clip(np.round(made), 0, 255).astype(np.uint8))


def with_gamma(picture, gamma):
    """Encoded by a plain power in place of sRGB's curve."""
    encoded = np.asarray(picture) / 255
    linear = np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)
    return Image.fromarray(np.round(linear ** (1 / gamma) * 255).astype(np.uint8))


# Targets of the project: bore and holes within 5 um at 300 dpi clean, 20 um under each single disturbance; always the
# outline within 10 um (root mean square) and its arcs within 10 um of their radius.
DISTURBED = {
    "clean": {},
    "noise": {"noise": 8.0},
    "turned": {"turn": 41.0},
    "dust": {"dust": 40},
    "grey on grey": {"part": 0.3, "ground": 0.55},
    "light on dark": {"part": 0.9, "ground": 0.1},
    "soft": {"blur": 0.1},
    "uneven light": {"light": lambda across, up: 0.8 + 0.2 * across + 0.1 * up},
}


@pytest.mark.parametrize("name", DISTURBED)
def test_a_scan_at_300_dpi(name, tmp_path):
    how = DISTURBED[name]
    found = traced(scan(**how), tmp_path)
    (part,) = found.parts
    bore, holes, places, radii = errors(part, how.get("turn", 3.0))

    limit = 0.005 if name == "clean" else 0.02
    assert bore < limit
    assert holes < limit
    assert places < 0.005
    assert len(part.outline.contour.points) == 8
    assert radii < 0.01
    assert strayed(part, how.get("turn", 3.0)) < 0.01
    assert (found.dust > 20) == (name == "dust")
    assert not any("sharpened" in warning for warning in found.warnings)


@pytest.mark.slow
@pytest.mark.parametrize(("amount", "radius"), [(0.4, 1.0), (0.8, 1.5), (1.5, 2.0)])
def test_a_scanner_that_sharpens_is_corrected(amount, radius, tmp_path):
    """Uncorrected, bore and holes are off by 0.006, 0.012 and 0.019 mm."""
    found = traced(sharpened(scan(), amount, radius), tmp_path)
    (part,) = found.parts
    bore, holes, _, radii = errors(part)

    assert any("has been sharpened" in warning for warning in found.warnings)
    assert max(bore, holes) < 0.0055
    assert radii < 0.015
    assert strayed(part) < 0.005


@pytest.mark.parametrize("gamma", [1.8, 2.2])
def test_another_gamma_than_srgb(gamma, tmp_path):
    (part,) = traced(with_gamma(scan(), gamma), tmp_path).parts
    bore, holes, _, radii = errors(part)

    assert max(bore, holes) < 0.02
    assert radii < 0.01
    assert strayed(part) < 0.01


@pytest.mark.slow
@pytest.mark.parametrize(("dpi", "limit", "arcs"), [(150, 0.01, 0.01), (600, 0.003, 0.003)])
def test_other_resolutions(dpi, limit, arcs, tmp_path):
    (part,) = traced(scan(dpi=dpi), tmp_path, tag=dpi).parts
    bore, holes, places, radii = errors(part)

    assert max(bore, holes, places) < limit
    assert radii < arcs
    assert strayed(part) < arcs


@pytest.mark.slow
@pytest.mark.parametrize("quality", [40, 75, 95])
def test_jpeg(quality, tmp_path):
    found = traced(scan(), tmp_path, "scan.jpg", tags={"dpi": (300, 300), "quality": quality})

    assert max(errors(found.parts[0])[:3]) < 0.02
    assert errors(found.parts[0])[3] < 0.01
    assert strayed(found.parts[0]) < 0.01
    assert not any("sharpened" in warning for warning in found.warnings)


@pytest.mark.slow
def test_sixteen_bits_colour_palette_and_alpha_give_the_same(tmp_path):
    grey = scan(noise=0.0)
    clear = Image.merge("LA", [grey, Image.new("L", grey.size, 255)])
    for picture, name in (
        (scan(noise=0.0, sixteen=True), "a.png"),
        (grey.convert("RGB"), "b.tif"),
        (grey.convert("P"), "c.png"),
        (clear, "d.png"),
        (grey.convert("CMYK"), "e.tif"),
    ):
        (part,) = traced(picture, tmp_path, name).parts
        assert max(errors(part)[:3]) < 0.02, name


def coloured(part, ground):
    """A scan in linear colours of the same lightness or not, with noise, by the mask of the grey one."""
    grey = np.asarray(scan(part=0.0, ground=1.0, noise=0.0, sixteen=True)) / 65535
    share = np.where(grey <= 0.04045, grey / 12.92, ((grey + 0.055) / 1.055) ** 2.4)[..., None]  # of the ground
    light = share * np.array(ground) + (1 - share) * np.array(part)
    noisy = srgb(light) * 255 + np.random.default_rng(4).normal(0, 2.0, light.shape)
    return Image.fromarray(np.clip(np.round(noisy), 0, 255).astype(np.uint8))


@pytest.mark.slow
@pytest.mark.parametrize(
    ("part", "ground", "colour"),
    [
        ((0.22, 0.22, 0.22), (0.75, 0.05, 0.30), "red"),  # a grey gasket on red paper of its own lightness
        ((0.22, 0.22, 0.22), (0.05, 0.22, 0.75), "blue"),
        ((0.10, 0.10, 0.10), (0.80, 0.75, 0.70), None),
    ],
)
def test_a_coloured_ground_of_the_parts_own_lightness(part, ground, colour, tmp_path):
    found = traced(coloured(part, ground), tmp_path)
    said = [warning for warning in found.warnings if "in colour" in warning]

    assert max(errors(found.parts[0])[:3]) < 0.02
    assert strayed(found.parts[0]) < 0.01
    assert [f"only the {colour}" in warning for warning in said] == ([True] if colour else [])


def test_a_picture_taken_sideways_is_turned_upright(tmp_path):
    """EXIF orientation 6: the camera lay on its side."""
    picture = scan(noise=0.0, turn=0.0)
    exif = Image.Exif()
    exif[0x0112] = 6
    picture.transpose(Image.Transpose.ROTATE_90).save(tmp_path / "s.jpg", dpi=(300, 300), quality=95, exif=exif)
    (part,) = trace(tmp_path / "s.jpg").parts

    low, high = part.ring.min(axis=0), part.ring.max(axis=0)
    assert (high - low).tolist() == pytest.approx([60.0, 64.0], abs=0.02)
    (small,) = [hole for hole in part.holes if hole.circle.radius < 2.2]
    assert small.circle.center[0] < 0 < small.circle.center[1]  # upper left, as drawn


def test_two_caliper_distances_give_a_scale_each_way(tmp_path):
    picture = scan(stretch=1.004, turn=0.0)
    plain = traced(picture, tmp_path)
    assert any("wider along" in warning for warning in plain.warnings)
    names = {hole.name: hole.circle for hole in plain.parts[0].holes}

    def name_at(x, y):
        return min(names, key=lambda n: hypot(names[n].center[0] - x, names[n].center[1] - y))

    a, b, c = name_at(-23.5, -25.5), name_at(23.5, -25.5), name_at(23.5, 25.5)
    found = traced(
        picture,
        tmp_path,
        along=KnownDistance(a, b, 47.0),
        across=KnownDistance(b, c, 51.0),
        check=KnownDistance(a, c, 69.354),
    )

    assert found.scale.source == "calipers"
    assert found.scale.sx / found.scale.sy == pytest.approx(1.004, abs=2e-4)
    assert max(errors(found.parts[0], 0.0)[:3]) < 0.01
    assert any(warning.startswith("check") and "69.35" in warning for warning in found.warnings)


def test_contradicting_scales_are_reported(tmp_path):
    found = traced(scan(turn=0.0), tmp_path, along=KnownDistance("left", "right", 66.0))
    assert any("contradict each other by 10.0 %" in warning for warning in found.warnings)
    with pytest.raises(PictureError, match="contradict"):
        traced(
            scan(turn=0.0),
            tmp_path,
            along=KnownDistance("left", "right", 60.0),
            across=KnownDistance("bottom", "top", 40.0),
        )
    with pytest.raises(PictureError, match="same way"):
        traced(
            scan(turn=0.0),
            tmp_path,
            along=KnownDistance("left", "right", 60.0),
            across=KnownDistance("left", "right", 60.0),
        )
    with pytest.raises(PictureError, match="no hole Q"):
        traced(scan(), tmp_path, along=KnownDistance("Q", "A", 60.0))


@pytest.mark.slow
@pytest.mark.parametrize("tag", [None, 72, 96])
def test_a_dpi_that_is_a_guess_is_not_used(tag, tmp_path):
    with pytest.raises(PictureError, match="scale is not known"):
        traced(scan(), tmp_path, tags={"dpi": (tag, tag)} if tag else {})
    found = traced(scan(), tmp_path, tags={"dpi": (tag, tag)} if tag else {}, dpi=300.0)

    assert errors(found.parts[0])[0] < 0.005
    assert any("dpi" in warning for warning in found.warnings)


def test_proposals_are_offered_and_only_done_when_accepted(tmp_path):
    picture = scan()
    offered = traced(picture, tmp_path)
    taken = traced(picture, tmp_path, accept=accepting(["equal-holes", "round-value"]))

    assert {one.kind for one in offered.proposals} >= {"equal-holes", "round-value", "iso273"}
    assert not any(one.accepted for one in offered.proposals)
    assert all(abs(2 * hole.circle.radius - round(2 * hole.circle.radius, 1)) > 1e-9 for hole in offered.parts[0].holes)
    assert sorted(2 * hole.circle.radius for hole in taken.parts[0].holes) == pytest.approx([4.0, 5.5, 5.5, 5.5, 46.0])


def test_two_parts_in_one_picture(tmp_path):
    from tests.scans import gasket

    picture = scan(page=(160.0, 100.0), shapes=((gasket, 0, 0), (gasket, 76, 0)))
    found = traced(picture, tmp_path)

    assert len(found.parts) == 2
    assert any("2 parts" in warning for warning in found.warnings)


@pytest.mark.parametrize(
    ("picture", "what"),
    [
        (Image.new("L", (400, 300), 255), "one shade"),
        (Image.fromarray(np.random.default_rng(3).integers(0, 256, (300, 400)).astype(np.uint8)), "noise"),
        (scan(at=(10.0, 50.0), dpi=150), "runs out of the picture"),
        (Image.new("L", (10, 10), 255), "only 10 x 10"),
    ],
)
def test_pictures_in_which_no_part_shows(picture, what, tmp_path):
    try:
        found = traced(picture, tmp_path)
    except PictureError as error:
        assert what in str(error)
    else:  # a part that is cut off leaves its holes: they are offered, with a warning
        assert any(what in warning for warning in found.warnings)


def run(*words):
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


def test_by_command_to_a_part_that_can_be_cut(tmp_path):
    scan().save(tmp_path / "old.png", dpi=(300, 300))
    words = ("trace", tmp_path / "old.png", "--out", tmp_path / "old.toml", "--overlay", tmp_path / "old.svg")
    said = run(*words, "--json")
    data = json.loads(said.stdout)

    assert said.exit_code == 0
    assert {"scale", "contours", "holes", "outline", "proposals", "warnings"} <= set(data)
    assert set(data["scale"]) == {"source", "sx", "sy"}
    assert {"name", "at", "diameter_mm"} == set(data["holes"][0])
    assert data["outline"]["segments"] == 8
    assert len(data["holes"]) == 5
    assert (tmp_path / "old.svg").read_text(encoding="utf-8").count('stroke="#1a5fa0"') == 6 + 1  # and in the legend
    report = make(read_job(str(tmp_path / "old.toml")), tmp_path / "out")
    area = report.made[0].outline.area
    wanted = 60 * 64 - (4 - np.pi) * 81 - np.pi / 4 * (46**2 + 3 * 5.5**2 + 16)
    assert area == pytest.approx(wanted, abs=0.5)
    assert len(report.made[0].outline.outer.points) == 8
    assert run(*words).exit_code == 0  # the same bytes do no harm
    assert run(*words, "--accept", "all").exit_code == 2  # others do


def test_our_own_template_comes_back(tmp_path):
    """Printed, scanned and traced; drawn filled from its own outline, as the template itself is a line drawing."""
    job = read_job("demo")
    report = make(job, tmp_path / "out")
    made = next(one for one in report.made if one.part.name == "intake-gasket")
    from reportlab.pdfgen.canvas import Canvas

    canvas = Canvas(str(tmp_path / "page.pdf"), pagesize=(340, 300))
    path = canvas.beginPath()
    mm = 72 / 25.4
    for contour in made.outline.contours:
        points = contour.flattened(0.001)
        for n, (x, y) in enumerate(points):
            (path.lineTo if n else path.moveTo)(170 + x * mm, 150 + y * mm)
        path.close()
    canvas.setFillGray(0.2)
    canvas.drawPath(path, stroke=0, fill=1, fillMode=0)
    canvas.save()
    page = pypdfium2.PdfDocument(tmp_path / "page.pdf")[0]
    pixels = page.render(scale=300 / 72, grayscale=True, rotation=0).to_numpy()
    pixels = pixels.reshape(pixels.shape[:2])
    ink = (255.0 - pixels) / (255 - 51)  # share of each pixel that is covered: a scanner adds up light, not its code
    seen = srgb(0.9 - 0.75 * ink) * 255 + np.random.default_rng(4).normal(0, 2.5, ink.shape)
    page = Image.fromarray(np.clip(np.round(seen), 0, 255).astype(np.uint8))
    found = traced(page.rotate(2.0, Image.BICUBIC, fillcolor=243), tmp_path)
    (part,) = found.parts
    holes = sorted(2 * hole.circle.radius for hole in part.holes)
    wanted = sorted(2 * hole.radius for hole in made.outline.inner if not isinstance(hole, Loop))

    assert holes == pytest.approx(wanted, abs=0.03)
    assert part.outline.contour.area == pytest.approx(made.outline.outer.area, abs=0.03 * made.outline.outer.length / 2)
    assert len(part.outline.contour.points) == len(made.outline.outer.points)


def test_a_slot_is_no_circle():
    turns = np.linspace(0, 2 * np.pi, 400, endpoint=False)
    slot = np.column_stack([np.cos(turns) * 3 + np.sign(np.cos(turns)) * 1.0, np.sin(turns) * 3])
    round_one = np.column_stack([np.cos(turns) * 3, np.sin(turns) * 3])

    assert round_edge(slot) is None
    assert round_edge(round_one).circle.radius == pytest.approx(3.0)


def test_without_the_extra_one_line_says_how_to_add_it(tmp_path, monkeypatch):
    scan(dpi=100).save(tmp_path / "old.png", dpi=(100, 100))
    monkeypatch.setitem(sys.modules, "contourpy", None)
    said = run("trace", tmp_path / "old.png", "--out", tmp_path / "old.toml")

    assert said.exit_code == 2
    assert said.output.strip() == "tracing needs contourpy: pip install 'gasketcut[capture]'"
    assert not Path(tmp_path / "old.toml").exists()


@pytest.mark.slow
@pytest.mark.parametrize(("ink", "shift"), [("outside", -0.4), ("middle", 0.0)])
def test_an_inked_flange(ink, shift, tmp_path):
    """Lines 0.8 mm broad: along the inside of the metal's edge, or with their middle on it."""
    from tests.scans import gasket

    def line(u, v):
        return np.abs(gasket(u, v) - shift) - 0.4

    (part,) = traced(scan(shapes=((line, 0.0, 0.0),)), tmp_path, ink=ink).parts
    bore, holes, places, radii = errors(part)

    assert max(bore, holes) < 0.02
    assert places < 0.02
    assert len(part.outline.contour.points) == 8
    assert radii < 0.1


def test_a_filled_part_is_no_ink(tmp_path):
    with pytest.raises(PictureError, match="no lines of ink"):
        traced(scan(shapes=((lambda u, v: np.hypot(u, v) - 20.0, 0.0, 0.0),)), tmp_path, ink="middle")


@pytest.mark.slow
def test_two_scans_turned_show_what_the_scanner_does(tmp_path):
    first = traced(scan(stretch=1.003), tmp_path)
    second = traced(scan(stretch=1.003, turn=93.0), tmp_path, "b.png")
    same = traced(scan(turn=93.0), tmp_path, "c.png")
    straight = traced(scan(), tmp_path, "d.png")

    from gasketcut.capture.second import with_second

    off = with_second(first, second)
    good = with_second(straight, same)
    assert float(off.warnings[-1].split("by ")[1].split(" %")[0]) > 0.2
    assert float(good.warnings[-1].split("by ")[1].split(" %")[0]) < 0.05


CALIPERS = """
units = "mm"
[measure]
[[measure.distance]]
from = "{a}"
to = "{b}"
over = "centres"
reading = 47.0
[[measure.distance]]
from = "{b}"
to = "{c}"
over = "outside"
reading = 56.5
[[measure.distance]]
from = "{a}"
to = "{c}"
over = "inside"
reading = {diagonal}
"""


def named(part):
    """Names of the lower left, lower right and upper right holes of a part that lies level."""

    def at(x, y):
        return min(part.holes, key=lambda hole: dist(hole.circle.center, (x, y))).name

    return {"a": at(-23.5, -25.5), "b": at(23.5, -25.5), "c": at(23.5, 25.5)}


@pytest.mark.parametrize(("diagonal", "agrees"), [(69.354 - 5.5, True), (67.0, False)])
def test_a_jobs_caliper_readings_put_the_scale_right_and_are_tested(diagonal, agrees, tmp_path):
    scan(stretch=1.003, turn=0.0).save(tmp_path / "old.png", dpi=(297, 297))
    rough = trace(tmp_path / "old.png").parts[0]
    (tmp_path / "m.toml").write_text(CALIPERS.format(**named(rough), diagonal=diagonal), encoding="utf-8")
    words = ("trace", tmp_path / "old.png", "--out", tmp_path / "old.toml", "--calipers", tmp_path / "m.toml", "--json")
    data = json.loads(run(*words).stdout)
    said = " ".join(data["warnings"])

    assert data["scale"]["sx"]["value"] == pytest.approx(25.4 / 300 * 1.003, rel=6e-4)
    assert data["scale"]["sy"]["value"] == pytest.approx(25.4 / 300, rel=6e-4)
    low, high = data["scale"]["sx"]["range_95"]
    assert 0 < (high - low) / data["scale"]["sx"]["value"] < 0.006
    assert max(hole["diameter_mm"]["value"] for hole in data["holes"]) == pytest.approx(BORE, abs=0.04)
    assert ("does not agree" in said) != agrees
    assert "by the calipers the scale changes by" in said


SIX = """
units = "mm"
[measure]
"""
ROW = """[[measure.distance]]
from = "{a}"
to = "{b}"
over = "centres"
reading = {mm:.2f}
"""


@pytest.mark.slow
@pytest.mark.parametrize("taken", [False, True])
def test_a_hole_that_all_its_readings_put_elsewhere_is_named(taken, tmp_path):
    """The gasket is stretched at one hole; the readings are of the flange. Three of six would be left out singly."""
    picture = scan(turn=0.0)
    names = {hole.name: hole.circle.center for hole in traced(picture, tmp_path).parts[0].holes}
    corners = sorted(names, key=lambda name: hypot(*names[name]))[1:]  # without the bore
    true = {name: names[name] for name in corners}
    stretched = max(corners, key=lambda name: names[name][1] - names[name][0])  # the upper left one: all are as far out
    true[stretched] = (true[stretched][0] + 0.5, true[stretched][1] - 0.3)
    pairs = [(a, b) for n, a in enumerate(corners) for b in corners[:n]]
    text = SIX + "".join(ROW.format(a=a, b=b, mm=dist(true[a], true[b])) for a, b in pairs)
    (tmp_path / "m.toml").write_text(text, encoding="utf-8")
    words = ["trace", tmp_path / "scan.png", "--out", tmp_path / "o.toml", "--calipers", tmp_path / "m.toml", "--json"]
    data = json.loads(run(*words, *(["--accept", "moved-hole"] if taken else [])).stdout)
    (said,) = [warning for warning in data["warnings"] if "does not agree" in warning]
    (hole,) = [hole for hole in data["holes"] if hole["name"] == stretched]

    assert f"hole {stretched} does not agree" in said
    assert "0.58 mm" in said
    assert [one["kind"] for one in data["proposals"]].count("moved-hole") == 1
    assert [one["value"] for one in hole["at"]] == pytest.approx(
        true[stretched] if taken else names[stretched], abs=0.03
    )


def test_readings_over_holes_that_are_not_there(tmp_path):
    scan(turn=0.0).save(tmp_path / "old.png", dpi=(300, 300))
    (tmp_path / "m.toml").write_text(CALIPERS.format(a="A", b="Z", c="C", diagonal=60.0), encoding="utf-8")
    said = run("trace", tmp_path / "old.png", "--out", tmp_path / "o.toml", "--calipers", tmp_path / "m.toml")

    assert said.exit_code == 2
    assert "there is no hole Z" in said.output


def test_a_hole_accepted_as_a_bolts_brings_its_uncertainty_into_the_fit_check(tmp_path):
    scan(turn=0.0).save(tmp_path / "old.png", dpi=(300, 300))
    words = ("trace", tmp_path / "old.png", "--out", tmp_path / "old.toml", "--accept", "iso273")
    assert run(*words).exit_code == 0
    part = read_job(str(tmp_path / "old.toml")).parts[0]

    assert [studs.stud for studs in part.studs] == [5.0, 5.0, 5.0]  # the fourth hole is no bolt's
    # An uncalibrated scanner: 0.2 % of some 34.7 mm from the middle, 1.96 times.
    assert [studs.tolerance for studs in part.studs] == pytest.approx([0.137] * 3, abs=0.003)
    assert run("fit", tmp_path / "old.toml").exit_code in (0, 1)


@pytest.mark.slow
def test_the_halves_of_a_worn_gasket_are_averaged_if_that_is_wanted(tmp_path):
    """One corner has spread by 0.4 mm: no half is the image of another; their mean is."""
    from tests.scans import gasket

    def worn(u, v):
        spread = np.clip((u - 10) / 20, 0, 1) * np.clip(v / 32, 0, 1)
        return gasket(u - 0.4 * spread, v)

    picture = scan(shapes=((worn, 0.0, 0.0),), turn=4.0)
    plain = traced(picture, tmp_path)
    made = traced(picture, tmp_path, accept=accepting(["mirror"]))
    off = [float(one.text.split("differ by ")[1].split(" mm")[0]) for one in plain.proposals if one.kind == "mirror"]
    across = np.ptp(plain.parts[0].ring, axis=0), np.ptp(made.parts[0].ring, axis=0)

    assert not any(one.accepted for one in plain.proposals)
    assert all(0.1 < one < 0.5 for one in off)
    assert across[1] == pytest.approx(across[0], abs=0.1)
    again = symmetry_of(made.parts[0].ring, 0).proposals
    assert len(again) == 2
    assert max(float(one.text.split("differ by ")[1].split(" mm")[0]) for one in again) < 0.05
    area = made.parts[0].outline.contour.area
    assert area == pytest.approx(plain.parts[0].outline.contour.area, rel=2e-3)


def test_a_symmetric_part_is_named_as_one(tmp_path):
    one, _ = [one for one in traced(scan(turn=7.0), tmp_path).proposals if one.kind == "mirror"]
    turn, worst = (
        float(re.findall(r"at (\d+\.\d) deg", one.text)[0]),
        float(re.findall(r"by (\d\.\d+) mm", one.text)[0]),
    )

    assert min(abs(turn - 7.0), abs(turn - 97.0)) < 0.1
    assert worst < 0.03


def lopsided(ring):
    """Area by which the ring and itself turned by a third do not agree [mm2]."""
    part = Polygon(ring)
    return part.symmetric_difference(rotate(part, 120, origin=part.centroid)).area


@pytest.mark.slow
def test_what_is_alike_when_turned_is_averaged_if_that_is_wanted(tmp_path):
    """The upper lobe is worn: it stands 0.3 mm too far to the left, and its hole with it."""

    def worn(u, v):
        return lobes(u + 0.3 * np.clip((v - 14) / 4, 0, 1), v)

    picture = scan(shapes=((worn, 0.0, 0.0),), turn=0.0)
    plain = traced(picture, tmp_path)
    made = traced(picture, tmp_path, accept=accepting(["turn"])).parts[0]
    (one,) = [one for one in plain.proposals if one.kind in ("mirror", "turn")]
    holes = np.array([hole.circle.center for hole in made.holes if hole.circle.radius < 5])
    bore = next(hole for hole in made.holes if hole.circle.radius > 5).circle.center
    apart = [dist(holes[n], holes[n - 1]) for n in range(3)]

    assert one.kind == "turn"
    assert "third" in one.text
    assert 0.2 < float(one.text.split("differs by ")[1].split(" mm")[0]) < 0.6
    assert not one.accepted
    assert max(apart) - min(apart) < 0.005
    assert [dist(hole, bore) for hole in holes] == pytest.approx([24.0] * 3, abs=0.12)
    again = symmetry_of(made.ring, 0).proposals
    assert [one.kind for one in again] == ["turn"]
    assert lopsided(made.ring) < 0.15 * lopsided(plain.parts[0].ring)


@pytest.mark.slow
@pytest.mark.parametrize("cut", [3.0, 4.0, 9.0])
def test_a_corner_torn_off_straight_is_reported(cut, tmp_path):
    from tests.scans import gasket

    def large_residuals(u, v):
        # Straight across the upper right corner, `cut` mm further in than the round corner's own middle.
        middle = (WIDTH / 2 + HEIGHT / 2 - 2 * CORNER) / 2**0.5 + CORNER
        return np.maximum(gasket(u, v), (u + v) / 2**0.5 - (middle - cut))

    turn = 6.0
    found = traced(scan(shapes=((large_residuals, 0.0, 0.0),), turn=turn), tmp_path)
    (said,) = [one.text for one in found.questions if "torn off, or meant" in one.text]
    (part,) = found.parts
    area = float(re.findall(r"lacks (\d+) mm2", said)[0])
    x, y = (float(one) for one in re.findall(r"at \((\S+), (\S+)\)", said)[0])
    whole = WIDTH * HEIGHT - (4 - np.pi) * CORNER**2
    c, s = cos(radians(turn)), sin(radians(turn))

    assert area == pytest.approx(whole - part.outline.contour.area, abs=1.0)
    assert c * x + s * y > 15
    assert -s * x + c * y > 15
    assert not any(one.kind in ("mirror", "turn") for one in found.proposals)


@pytest.mark.slow
def test_openings_that_are_not_round_are_averaged_with_their_partners(tmp_path):
    """Two slots, one of them worn 0.4 mm outwards: the mean puts each 0.2 mm further out than the good one."""

    def plate(u, v):
        slots = np.minimum(rounded(u + 18.0, v, 6.0, 16.0, 3.0), rounded(u - 18.4, v, 6.0, 16.0, 3.0))
        return np.maximum(rounded(u, v, 60.0, 40.0, 6.0), -slots)

    picture = scan(shapes=((plate, 0.0, 0.0),), turn=0.0)
    plain, made = (traced(picture, tmp_path, accept=accepting(kinds)).parts[0] for kinds in ([], ["mirror"]))

    def places(part):
        return sorted(float(np.mean(one.edge.contour.flattened(0.01), axis=0)[0]) for one in part.windows)

    assert places(plain) == pytest.approx([-18.0, 18.4], abs=0.02)
    assert places(made) == pytest.approx([-18.2, 18.2], abs=0.02)


def test_a_hole_torn_open_to_the_edge_is_followed_round(tmp_path):
    """What is left of it is an arc of more than half a circle."""

    def plate(u, v):
        return np.maximum(rounded(u, v, 60.0, 40.0, 6.0), 4.0 - np.hypot(u - 28.0, v))

    (part,) = traced(scan(shapes=((plate, 0.0, 0.0),), turn=8.0), tmp_path).parts
    half = np.arccos(-2.0 / 4.0)  # of the notch's opening, seen from its middle 2 mm inside the edge
    notch = np.pi * 16 - (16 * (np.pi - half) - 2.0 * 4.0 * sin(half))

    assert part.outline.deviation < 0.06
    assert len(part.outline.contour.points) == 11  # four sides, one of them in two, four corners, an arc in two
    assert part.outline.contour.area == pytest.approx(60 * 40 - (4 - np.pi) * 36 - notch, abs=0.5)


@pytest.mark.slow
@pytest.mark.parametrize("turn", [0.0, 20.0])
def test_a_whole_part_is_not_called_damaged(turn, tmp_path):
    for shape in (None, lobes):
        found = traced(scan(turn=turn, **({"shapes": ((shape, 0.0, 0.0),)} if shape else {})), tmp_path)
        assert found.questions == ()


@pytest.mark.slow
def test_radii_alike_and_edges_square_are_offered_and_made_so(tmp_path):
    picture = scan(noise=6.0)
    plain = traced(picture, tmp_path)
    made = traced(picture, tmp_path, accept=accepting(["equal-radii", "round-radius", "square"]))
    arcs = [segment for segment in made.parts[0].outline.contour.segments() if segment.bulge]
    lines = [segment for segment in made.parts[0].outline.contour.segments() if not segment.bulge]
    turns = [np.degrees(np.arctan2(one.end[1] - one.start[1], one.end[0] - one.start[0])) % 90 for one in lines]

    assert {one.kind for one in plain.proposals} >= {"equal-radii", "round-radius", "square"}
    assert [arc.radius for arc in arcs] == pytest.approx([CORNER] * 4, abs=0.01)
    assert max(turns) - min(turns) < 0.02
    assert np.mean(turns) == pytest.approx(3.0, abs=0.02)
    assert made.parts[0].outline.deviation < plain.parts[0].outline.deviation + 0.03


@pytest.mark.slow
def test_what_is_a_shape_of_the_job_file_is_written_in_its_words(tmp_path):
    def plate(u, v):
        hole = rounded(u - 8, v + 5, 24.0, 10.0, 5.0)
        return np.maximum(rounded(u, v, 60.0, 40.0, 6.0), -hole)

    scan(shapes=((plate, 0.0, 0.0),), turn=12.0).save(tmp_path / "p.png", dpi=(300, 300))
    run("trace", tmp_path / "p.png", "--out", tmp_path / "p.toml", "--accept", "all")
    text = (tmp_path / "p.toml").read_text(encoding="utf-8")
    assert text.startswith("# Seen from the side that lay on the glass.")
    outline = re.search(r"rectangle = \[(\S+), (\S+)\], corner = (\S+?),", text)
    sizes = sorted(float(one) for one in outline.groups())
    x, y, turn = (float(one) for one in re.search(r"\nat = \[(\S+), (\S+)\]\nturn = \"(\S+) deg\"", text).groups())
    slot = re.search(r"slot = \[(\S+), (\S+)\]", text)

    assert sizes == pytest.approx([6.0, 40.0, 60.0], abs=0.02)
    assert [float(one) for one in slot.groups()] == pytest.approx([24.0, 10.0], abs=0.02)
    c, s = cos(radians(12)), sin(radians(12))
    assert (x, y) == pytest.approx((8 * c + 5 * s, 8 * s - 5 * c), abs=0.02)
    assert turn == pytest.approx(12.0, abs=0.05)
    made = make(read_job(str(tmp_path / "p.toml")), tmp_path / "out").made[0]
    wanted = 60 * 40 - (4 - np.pi) * 36 - (14 * 10 + np.pi * 25)
    assert made.outline.area == pytest.approx(wanted, abs=1.0)


@pytest.mark.parametrize("seed", [0, pytest.param(1, marks=pytest.mark.slow), pytest.param(2, marks=pytest.mark.slow)])
def test_whatever_the_picture_there_is_a_part_or_a_reason(seed, tmp_path):
    """Random ellipses, boxes and lines of random shades, blurred and noisy, by every way of tracing."""
    from PIL import ImageDraw, ImageFilter

    from gasketcut import GasketError, parse_job
    from gasketcut.capture.job_text import job_text
    from gasketcut.capture.roles.said import PartSaid
    from gasketcut.output.data.trace import trace_data, trace_text
    from gasketcut.pages.traced.files import overlay_pdf, overlay_svg

    chance = np.random.default_rng(seed)
    ways = [{}, {}, {"target": True}, {"sheet": (210.0, 297.0)}, {"ink": "middle"}, {"card": True}]
    done = refused = 0
    for _ in range(40):
        width, height = (int(one) for one in chance.integers(30, 400, 2))
        picture = Image.new("L", (width, height), int(chance.integers(0, 256)))
        draw = ImageDraw.Draw(picture)
        for _ in range(int(chance.integers(0, 9))):
            x, y = int(chance.integers(0, width)), int(chance.integers(0, height))
            box = (x, y, x + int(chance.integers(1, 200)), y + int(chance.integers(1, 200)))
            shape = (draw.ellipse, draw.rectangle, draw.line)[int(chance.integers(0, 3))]
            shape(box, int(chance.integers(0, 256)))
        if chance.random() < 0.4:
            picture = picture.filter(ImageFilter.GaussianBlur(float(chance.random() * 3)))
        if chance.random() < 0.3:
            noisy = np.asarray(picture) + chance.normal(0, chance.random() * 60, (height, width))
            picture = Image.fromarray(np.clip(noisy, 0, 255).astype(np.uint8))
        try:
            how = ways[int(chance.integers(0, len(ways)))]
            found = traced(picture, tmp_path, tag=150, accept=lambda _: True, **how)
        except GasketError as error:
            assert str(error)
            refused += 1
            continue
        assert json.dumps(trace_data(found), allow_nan=False)
        assert trace_text(found, "x").startswith("x: ")
        picture.save(tmp_path / "o.png", dpi=(150, 150))
        seen = read_scan(tmp_path / "o.png")
        assert b"</svg>" in overlay_svg(seen, found, "x")
        assert overlay_pdf(seen, found, "x").startswith(b"%PDF")
        assert parse_job(job_text(found, "x", [PartSaid()] * len(found.parts))).parts
        done += 1
    assert done > 0
    assert refused > 10
