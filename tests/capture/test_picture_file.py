"""Files as scanners, telephones and programs write them: which are read, which way up, which page, and what is said of
the others."""

import io
import sys

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image, ImageOps
from pillow_heif import from_pillow
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from gasketcut.capture.image.picture_file import MOST_BYTES, PictureError, read_scan
from gasketcut.capture.traced import trace
from gasketcut.cli import main
from gasketcut.errors import GasketError
from tests.scans import scan

ON_FILM, DETAILS = 0xA405, 0x8769


def plain(width=60, height=40):
    """Different in each corner, and smooth."""
    across, down = np.meshgrid(np.linspace(0, 1, width), np.linspace(0, 1, height))
    return Image.fromarray((40 + 120 * across + 60 * down**2).astype(np.uint8))


def written(picture, form, **how):
    stream = io.BytesIO()
    if form == "HEIF":
        from_pillow(picture.convert("RGB")).save(stream, quality=95, **how)
    else:
        picture.save(stream, form, **({"lossless": True} if form == "WEBP" else {}), **how)
    return stream.getvalue()


def pdf(*pictures, dpi=300, turn=0, lying=0, over=None):
    """turn : as the page says it is to be shown; `lying` how the picture lies on the page [deg]; `over` draws more."""
    stream, canvas = io.BytesIO(), None
    for picture in pictures:
        w, h = (size * 72 / dpi for size in picture.size)
        size = (w, h) if lying in (0, 180) else (h, w)
        canvas = canvas or Canvas(stream)
        # reportlab turns the size that it is given with the page.
        canvas.setPageSize(size if turn in (0, 180) else size[::-1])
        canvas.setPageRotation(turn)
        canvas.saveState()
        canvas.translate(size[0] / 2, size[1] / 2)
        canvas.rotate(lying)
        canvas.drawImage(ImageReader(picture), -w / 2, -h / 2, w, h)
        canvas.restoreState()
        if over is not None:
            over(canvas)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def light(picture):
    return read_scan(written(picture, "PNG")).light


@pytest.mark.parametrize("form", ["PNG", "TIFF", "WEBP", "BMP", "GIF", "PPM", "JPEG", "JPEG2000", "HEIF", "AVIF"])
def test_forms_that_are_read(form):
    if form == "AVIF" and "AVIF" not in Image.registered_extensions().values():
        pytest.skip("this Pillow reads no AVIF")
    found = read_scan(written(plain(), form)).light

    assert found.shape == (40, 60)
    assert np.abs(found - light(plain())).max() < 0.03


@pytest.mark.parametrize("form", ["JPEG", "TIFF", "WEBP", "PNG", "HEIF"])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_picture_comes_upright_whichever_way_the_camera_was_held(form, orientation):
    upright = plain()
    exif = Image.Exif()
    exif[0x0112] = orientation
    # What a camera so held writes: turned back by what a viewer would turn it.
    stored = upright.copy()
    for _ in range(3 if orientation in (6, 8) else 1):
        stored.getexif()[0x0112] = orientation
        stored = ImageOps.exif_transpose(stored)
    how = {} if form == "HEIF" else {"dpi": (100, 200)} if form in ("JPEG", "TIFF", "PNG") else {}
    found = read_scan(written(stored, form, exif=exif.tobytes(), **how))

    assert found.light.shape == (40, 60)
    assert np.abs(found.light - light(upright)).max() < 0.03
    if how:
        assert found.dpi == pytest.approx((200, 100) if orientation > 4 else (100, 200), rel=1e-3)


def test_a_scanners_pdf_gives_the_scan_as_it_was():
    picture = scan(dpi=150)
    found = read_scan(pdf(picture, dpi=150))

    assert np.array_equal(found.light, light(picture))
    assert found.dpi == pytest.approx((150, 150), rel=1e-6)
    assert not found.warnings


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
@pytest.mark.parametrize("lying", [0, 90, 180, 270])
def test_pages_are_shown_as_they_say(turn, lying):
    found = read_scan(pdf(plain(), turn=turn, lying=lying)).light

    assert np.array_equal(found, np.rot90(light(plain()), (lying - turn) // 90))


def test_a_scan_in_strips_is_put_together():
    picture = scan(dpi=150)
    stream = io.BytesIO()
    w, h = (size * 72 / 150 for size in picture.size)
    canvas = Canvas(stream, pagesize=(w, h))
    for top in range(0, picture.height, 40):
        strip = picture.crop((0, top, picture.width, min(top + 40, picture.height)))
        canvas.drawImage(ImageReader(strip), 0, h - (top + strip.height) * 72 / 150, w, strip.height * 72 / 150)
    canvas.save()

    assert np.array_equal(read_scan(stream.getvalue()).light, light(picture))


def test_what_is_drawn_over_a_scan_is_drawn_with_it():
    def line(canvas):
        canvas.setLineWidth(20)
        canvas.line(0, 30, 300, 30)

    found = read_scan(pdf(scan(dpi=150), dpi=150, over=line))
    rows, columns = found.light.shape

    assert float(np.median(found.light[rows - 70 : rows - 55])) < 0.01
    # Stretched to whole pixels, which is in its dpi.
    assert (columns / found.dpi[0] * 25.4, rows / found.dpi[1] * 25.4) == pytest.approx((81.96, 99.9), abs=0.1)


def test_a_page_without_a_scan_says_so():
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=(72, 72))
    canvas.circle(36, 36, 20, fill=1)
    canvas.save()
    found = read_scan(stream.getvalue())

    assert found.light.shape == (300, 300)
    assert "no scan on this page; it is drawn at 300 dpi" in found.warnings[0]


def several(form):
    ones = [plain(), plain().transpose(Image.Transpose.FLIP_LEFT_RIGHT), plain(80, 50)]
    if form == "PDF":
        return pdf(*ones), ones
    return written(ones[0], form, save_all=True, append_images=ones[1:]), ones


@pytest.mark.parametrize("form", ["TIFF", "PDF"])
def test_of_several_pages_the_one_that_is_asked_for(form):
    data, ones = several(form)
    first = read_scan(data)

    assert any("page 1 of 3 is used; --page takes another" in warning for warning in first.warnings)
    for number, one in enumerate(ones, 1):
        found = read_scan(data, number)
        assert np.array_equal(found.light, light(one))
        assert any(f"page {number} of 3 is used" in warning for warning in found.warnings)
    for number in (0, 4):
        with pytest.raises(PictureError, match=f"has 3 pages, so no page {number}"):
            read_scan(data, number)


def test_the_page_by_command(tmp_path):
    (tmp_path / "two.pdf").write_bytes(pdf(plain(), scan(dpi=150), dpi=150))
    words = ["trace", str(tmp_path / "two.pdf"), "--out", str(tmp_path / "two.toml")]
    said = CliRunner().invoke(main, [*words, "--page", "2"], catch_exceptions=False)

    assert said.exit_code == 0
    assert "page 2 of 2 is used" in said.output
    assert "46.0" in said.output
    assert CliRunner().invoke(main, [*words, "--page", "3"], catch_exceptions=False).exit_code == 2


def test_a_telephones_second_picture_is_no_page():
    data = written(plain(), "MPO", save_all=True, append_images=[plain(30, 20)])

    assert not any("page" in warning for warning in read_scan(data).warnings)


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"", "is empty"),
        (b"hello", "is no picture"),
        (b"\x89PNG", "is no picture"),
        (b"%PDF-1.4\n", "is damaged"),
        (b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n", "is PostScript; print it to a PDF"),
        (b"8BPS\x00\x01" + bytes(40), "in layers"),
        (b"\xff\x0a" + bytes(40), "JPEG XL"),
        (b"\x00\x00\x00\x18ftypcrx " + bytes(40), "raw picture"),
        (b"\x00\x00\x00\x18ftypqt  " + bytes(40), "is a film"),
        (b"\x00\x00\x00\x18ftypheic" + bytes(40), "is HEIC that cannot be read"),
        (b"PK\x03\x04" + bytes(40), "archive or a document"),
        (b"<?xml version='1.0'?><svg/>", "is a drawing"),
        (b"  0\nSECTION\n  2\nHEADER\n", "gasketcut inspect"),
        (b"II*\x00" + bytes(4), "TIFF that cannot be read"),
    ],
)
def test_what_is_not_read_is_named(data, what, tmp_path):
    (tmp_path / "x.png").write_bytes(data)
    with pytest.raises(PictureError, match=what):
        read_scan(tmp_path / "x.png")
    with pytest.raises(PictureError, match="the picture: is"):
        trace(data)


def test_a_folder_is_no_picture(tmp_path):
    with pytest.raises(GasketError, match="cannot be read"):
        trace(tmp_path)


def test_a_cameras_raw_picture_is_not_taken_for_its_preview():
    info = Image.Exif()
    info[50706] = b"\x01\x04\x00\x00"
    with pytest.raises(PictureError, match="raw picture; save it as JPEG"):
        read_scan(written(plain(), "TIFF", exif=info.tobytes(), tiffinfo={50706: b"\x01\x04\x00\x00"}))


@pytest.mark.parametrize(
    ("module", "data", "what"),
    [
        ("pypdfium2", b"%PDF-1.4\n", r"gasketcut\[pdf\]"),
        ("pillow_heif", written(plain(), "HEIF"), r"gasketcut\[heic\]"),
    ],
)
def test_without_the_library_it_says_how_to_convert(module, data, what, monkeypatch):
    monkeypatch.setitem(sys.modules, module, None)
    with pytest.raises(PictureError, match=what + r".* save .* as"):
        read_scan(data)


def test_a_path_a_name_and_bytes_are_read_alike(tmp_path):
    file = tmp_path / "s.png"
    scan(dpi=100).save(file, dpi=(100, 100))
    first, *others = (read_scan(source) for source in (file, str(file), file.read_bytes()))

    assert all(np.array_equal(one.light, first.light) and one.dpi == first.dpi for one in others)


@pytest.mark.parametrize("form", ["PNG", "TIFF", "GIF"])
def test_a_bomb_is_refused_before_it_is_unpacked(form):
    data = written(
        Image.new("1", (20_000, 20_000)), form, **({"compression": "tiff_deflate"} if form == "TIFF" else {})
    )
    with pytest.raises(PictureError, match="pixels, more than 120 million"):
        read_scan(data)


def test_a_bomb_in_a_pdf_is_refused_too():
    rows = [
        "%PDF-1.4",
        "1 0 obj <</Type/Catalog/Pages 2 0 R>> endobj",
        "2 0 obj <</Type/Pages/Kids[3 0 R]/Count 1>> endobj",
        "3 0 obj <</Type/Page/Parent 2 0 R/MediaBox[0 0 72 72]/Contents 4 0 R"
        "/Resources<</XObject<</P 5 0 R>>>>>> endobj",
        "4 0 obj <</Length 21>> stream\n72 0 0 72 0 0 cm /P Do\nendstream endobj",
        "5 0 obj <</Type/XObject/Subtype/Image/Width 20000/Height 20000/BitsPerComponent 1/ColorSpace/DeviceGray"
        "/Length 3>> stream\nabc\nendstream endobj",
        "trailer <</Root 1 0 R>>",
    ]
    with pytest.raises(PictureError, match=r"page 1 .* more than 120 million"):
        read_scan("\n".join(rows).encode())


def test_a_file_larger_than_any_scan_is_not_even_read(tmp_path):
    with (tmp_path / "large.tif").open("wb") as file:
        file.truncate(MOST_BYTES + 1)  # takes no room on the disk
    with pytest.raises(PictureError, match="is larger than 500 MB; scan at 300 dpi"):
        read_scan(tmp_path / "large.tif")


@pytest.mark.parametrize("form", ["PNG", "TIFF", "WEBP", "JPEG", "HEIF", "PDF"])
def test_half_a_file_is_refused(form):
    picture = scan(dpi=60)
    data = pdf(picture) if form == "PDF" else written(picture, form)
    with pytest.raises(PictureError, match=r"damaged|cannot be read"):
        read_scan(data[: len(data) // 2])


@pytest.mark.parametrize("form", ["PNG", "TIFF", "WEBP", "JPEG", "GIF", "BMP", "HEIF", "PDF"])
def test_a_file_with_wrong_bytes_is_a_picture_or_is_refused(form):
    draw = np.random.default_rng(7)
    exif = Image.Exif()
    exif[0x0112] = 6
    exif.get_ifd(DETAILS)[ON_FILM] = 26
    how = {"exif": exif.tobytes()} if form in ("PNG", "TIFF", "WEBP", "JPEG", "HEIF") else {}
    sound = bytearray(pdf(plain()) if form == "PDF" else written(plain(), form, **how))
    read, refused = 0, 0
    for _ in range(120):
        data = bytearray(sound)
        for _ in range(draw.integers(1, 5)):
            data[draw.integers(0, len(data))] = draw.integers(0, 256)
        try:
            assert np.isfinite(read_scan(bytes(data)).light).all()
            read += 1
        except PictureError:
            refused += 1

    assert read + refused == 120
    assert read > 0


def test_the_focal_length_that_a_camera_wrote():
    exif = Image.Exif()
    exif.get_ifd(DETAILS)[ON_FILM] = 26
    upright = read_scan(written(plain(40, 30), "JPEG", exif=exif.tobytes()))
    exif.get_ifd(DETAILS)[ON_FILM] = 0
    unknown = read_scan(written(plain(40, 30), "JPEG", exif=exif.tobytes()))

    # 26 mm on film's diagonal of 43.27 mm; that of a picture 4 by 3 is 1.25 times its longer side.
    cut = plain(40, 30).crop((0, 0, 37, 30))
    exif.get_ifd(DETAILS)[ON_FILM] = 26
    assert read_scan(written(cut, "JPEG", exif=exif.tobytes())).focus is None  # no longer as wide as it says
    assert upright.focus == pytest.approx(26 / 43.27 * 1.25, rel=1e-4)
    assert unknown.focus is None
    assert read_scan(written(plain(), "PNG")).focus is None
