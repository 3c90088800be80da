"""From a scan to a whole job by one command line: what each opening is for, what is asked, what is offered."""

import json
from types import SimpleNamespace

import numpy as np
import pytest
from click.testing import CliRunner

from gasketcut import evaluate, parse_job, read_job
from gasketcut.capture.job_text import job_text
from gasketcut.capture.lettering import letter
from gasketcut.capture.proposals.choice import Choice, accepting
from gasketcut.capture.proposals.offers import Proposal
from gasketcut.capture.roles.asked import asked
from gasketcut.capture.roles.given import said_of_each
from gasketcut.capture.roles.role import Role, RoleError, role_of
from gasketcut.capture.roles.said import PartSaid, kind_of, traced_kinds
from gasketcut.capture.settings import TraceSettings
from gasketcut.capture.traced import trace
from gasketcut.cli import main
from gasketcut.cli.tracing.part_options import PartWords
from gasketcut.errors import GasketError
from gasketcut.parts.kinds import KINDS
from gasketcut.profile.profiles import read_profiles
from gasketcut.shape.loop import Circle, Loop
from gasketcut.verdict import Verdict
from tests.capture.rendered import Disturbed, Thing, card, picture_of, png_of
from tests.scans import rounded, scan

pytest.importorskip("contourpy")

PROFILES = read_profiles()
STUD_HOLE, IMPULSE = 5.5, 3.0


def carb(u, v):
    """A window for the mixture, a hole on either side of it, a small one beside it."""
    cuts = np.minimum(rounded(u, v, 24.0, 20.0, 5.0), np.hypot(u - 28.0, v - 1.0) - STUD_HOLE / 2)
    cuts = np.minimum(cuts, np.hypot(u + 28.0, v + 1.0) - STUD_HOLE / 2)
    cuts = np.minimum(cuts, np.hypot(u - 10.0, v - 15.0) - IMPULSE / 2)
    return np.maximum(rounded(u, v, 70.0, 40.0, 8.0), -cuts)


@pytest.fixture(scope="module")
def picture():
    return png_of(scan(shapes=((carb, 0.0, 0.0),), dpi=150, turn=3.0, page=(90.0, 60.0), at=(45.0, 30.0)), 150)


@pytest.fixture(scope="module")
def found(picture):
    return trace(picture, TraceSettings())


@pytest.fixture
def run(picture, tmp_path):
    (tmp_path / "old.png").write_bytes(picture)

    def command(*words, name="trace", **how):
        files = ("old.png", "--out", "old.toml") if name == "trace" else ("old.toml",)
        words = [str(tmp_path / one) if "." in one and one in files else one for one in (*files, *words)]
        return CliRunner().invoke(main, [name, *words], catch_exceptions=False, **how)

    command.job = tmp_path / "old.toml"
    return command


SAID = (
    "--kind", "intake", "--name", "carb-gasket", "--stock", "paper 0.5", "--thickness", "0.5", "--as", "A=stud:M5",
    "--as", "C=stud:M5", "--as", "B=impulse", "--as", "W1=opening", "--face-up", "cylinder side",
    "--absent", "oil,water",
)  # fmt: skip


def test_one_command_line_gives_a_job_that_is_made_and_proven_without_an_edit(run, tmp_path):
    said = run(*SAID, "--json")

    assert said.exit_code == 0
    data = json.loads(said.stdout)
    assert data["roles"] == [{"A": "stud:M5", "C": "stud:M5", "B": "impulse", "W1": "opening"}]
    assert [one["flag"] for one in data["asked"]] == ["--absent oil,water,drain,dowel"]
    job = read_job(str(run.job))
    (spec,), (stock,) = job.parts, job.stock
    assert (spec.name, spec.kind, spec.stock, spec.face_up) == ("carb-gasket", "intake", "paper 0.5", "cylinder side")
    assert (stock.name, stock.thickness, spec.absent) == ("paper 0.5", 0.5, ("oil", "water"))
    assert [(one.stud, one.size) for one in spec.studs] == [(5.0, "M5"), (5.0, "M5")]
    assert [one.diameter for one in spec.studs] == pytest.approx([STUD_HOLE] * 2, abs=0.02)
    assert spec.opening.shape.area == pytest.approx(24 * 20 - (4 - np.pi) * 25, abs=0.6)
    assert [(one.name, one.role) for one in spec.unmeasured] == [("impulse", "passage")]
    assert (spec.windows, spec.holes) == ((), ())

    proven = run(name="fit")
    assert proven.exit_code == 1
    assert "NOT PROVEN" in proven.output
    words = " ".join(proven.output.split())
    assert "(drain, dowel, metal passage 'impulse' not measured, port)" in words
    made = run("--out", str(tmp_path / "out"), name="make")
    assert made.exit_code == 0
    assert (tmp_path / "out" / "carb-gasket.dxf").exists()


@pytest.mark.slow
def test_with_the_metal_measured_it_is_proven(run):
    """The two things that the verdict named are added, and nothing else."""
    run(*SAID[:-1], "oil,water,drain,dowel")
    text = run.job.read_text(encoding="utf-8")
    text = text.replace("cut = { round", "shape = { round = 2.0 }\ncut = { round")
    text += '\n[[part.port]]\nname = "intake"\nshape = { rectangle = [21.0, 17.0], corner = 4.0 }\nturn = "3 deg"\n'
    run.job.write_text(text, encoding="utf-8")

    assert evaluate(read_job(str(run.job))).verdict is Verdict.FITS


def test_what_was_not_said_is_printed_as_the_flags_to_add(run):
    said = run()
    row = said.output.splitlines()[-1]

    assert said.exit_code == 0
    assert row == "Add: --kind KIND --name NAME --as A=ROLE --as B=ROLE --as C=ROLE --as W1=ROLE --replace"
    assert read_job(str(run.job)).parts[0].kind == "flat"
    assert run(*SAID[:-1], "oil,water,drain,dowel", "--replace").output.splitlines()[-1] == (
        f"All is said. gasketcut fit {run.job} checks the part, and names what is still to be measured."
    )


def test_what_one_printed_flag_names_is_not_absent_in_another(run):
    """Typed as printed, an impulse hole was there and absent at once."""
    row = run("--kind", "intake").output.splitlines()[-1]
    assert "--as B=impulse" in row
    assert "--absent oil,water,drain,dowel " in row


def test_absent_and_there_at_once_is_refused(run):
    said = run(*SAID[:-1], "oil,Impulse")
    assert said.exit_code == 2
    assert "--as B=impulse, and --absent has it too" in said.output
    assert not run.job.exists()


def test_bars_without_their_sheet_are_not_dropped_in_silence(run):
    said = run("--bars", "100x99.8")
    assert said.exit_code == 2
    assert "add --target" in said.output


def test_the_picture_itself_is_not_written_over(run, tmp_path):
    before = (tmp_path / "old.png").read_bytes()
    said = run("--out", str(tmp_path / "old.png"), "--replace")
    assert said.exit_code == 2
    assert "old.png is the picture itself" in said.output
    assert (tmp_path / "old.png").read_bytes() == before


def test_guesses_are_offered_with_reasons_and_never_taken_unasked(run):
    said = json.loads(run("--kind", "intake", "--json").stdout)
    offers = {one["text"]: one["accepted"] for one in said["proposals"] if one["kind"] == "role"}

    assert list(offers.values()) == [False] * 3
    reasons = " ".join(offers)
    assert "W1 is by far the largest and lies in the middle: --as W1=opening?" in reasons
    assert "2 equal holes of 5.50 mm (0.217 in) on either side of W1: --as A=stud:M5 --as C=stud:M5?" in reasons
    assert "--as B=impulse?" in reasons
    assert said["roles"] == [{}]
    assert "--as A=stud:M5" in [one["flag"] for one in said["asked"]]
    taken = json.loads(run("--kind", "intake", "--accept", "role", "--replace", "--json").stdout)
    assert taken["roles"] == [{"W1": "opening", "A": "stud:M5", "C": "stud:M5", "B": "impulse"}]


def test_what_was_said_stands_against_a_guess(found):
    said = PartSaid(kind="intake", roles={"B": Role("passage", "oil"), "W1": Role("port", "intake")})
    made, (of_it,) = said_of_each(found, said, PROFILES.fasteners, lambda _: True)

    assert of_it.roles == {**said.roles, "A": Role("stud", "M5"), "C": Role("stud", "M5")}
    assert len([one for one in made.proposals if one.kind == "role"]) == 1


def test_nothing_is_guessed_of_a_part_of_no_kind(found):
    made, (of_it,) = said_of_each(found, PartSaid(), PROFILES.fasteners, lambda _: True)

    assert made.proposals == found.proposals
    assert of_it.roles == {}


@pytest.mark.slow
def test_all_but_one_hole_leaves_what_concerns_it(run):
    said = json.loads(run(*SAID[:2], "--accept", "all-but", "C", "--json").stdout)
    taken = {(one["kind"], one["text"]) for one in said["proposals"] if one["accepted"]}

    assert {kind for kind, _ in taken} >= {"equal-radii", "round-value", "role"}
    assert not [text for kind, text in taken if "C=" in text or "5.50" in text]
    assert not [kind for kind, _ in taken if kind in ("mirror", "equal-holes")]
    assert said["roles"] == [{"W1": "opening", "B": "impulse"}]


def test_all_but_takes_names_of_holes_windows_and_kinds():
    choice = accepting(["all-but C,w1", "all-but mirror"])
    of_c, of_a = (Proposal("round-value", "", (n,), 5.5) for n in (2, 0))
    curve = Proposal("round-radius", "", (2,), 8.0)
    window = Proposal("role", "", roles=(("W1", "opening"),))

    assert choice == Choice(frozenset({"all"}), frozenset({"C", "W1", "mirror"}))
    assert [choice(one) for one in (of_c, of_a, curve, window)] == [False, True, True, False]
    assert [letter(n) for n in (0, 26, 27)] == ["A", "AA", "AB"]
    for wrong in ("all-but", "all-but ?", "round"):
        with pytest.raises(ValueError, match="write"):
            accepting([wrong])


@pytest.mark.parametrize(
    ("text", "role"),
    [
        ("stud:M5", Role("stud", "M5")),
        (" Stud : m5 ", Role("stud", "M5")),
        ("dowel:8", Role("dowel", diameter=8.0)),
        ("dowel:0.25 in", Role("dowel", diameter=6.35)),
        ("opening", Role("opening")),
        ("port:transfer left", Role("port", "transfer left")),
        ("water", Role("passage", "water")),
        ("hole", Role("hole")),
    ],
)
def test_a_role_is_read_and_written(text, role):
    assert role_of(text, PROFILES.fasteners) == role
    assert role_of(role.text, PROFILES.fasteners) == role


@pytest.mark.parametrize(
    "text", ["", "stud", "stud:M99", "dowel:0", "dowel:8 kg", "port:", "hole:3", "impulse:2", "gas"]
)
def test_a_role_that_is_none_says_what_to_write(text):
    with pytest.raises(RoleError, match="write"):
        role_of(text, PROFILES.fasteners)


def test_a_dowel_that_is_too_thick_is_refused_with_what_may_be():
    with pytest.raises(
        RoleError, match=r"^no dowel is 70 mm thick; write its diameter in mm, 0\.5 to 60, e\.g\. dowel:8\.0$"
    ):
        role_of("dowel:70", PROFILES.fasteners)


def refused(found, *words):
    """What is said against the words of `--as`, and `kind` or `face` before them."""
    own = {words[n].removeprefix("--"): words[n + 1] for n in range(0, len(words), 2) if words[n] != "--as"}
    roles = tuple(words[n + 1] for n in range(0, len(words), 2) if words[n] == "--as")
    try:
        said = PartWords(roles=roles, **own).said(PROFILES.fasteners, None)
        said_of_each(found, said, PROFILES.fasteners, accepting([]))
    except GasketError as error:
        return " ".join(str(error).split())
    return ""


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--as", "Z=hole"), "there is no Z; known are A, B, C, W1"),
        (("--as", "W1=stud:M5"), "W1 is neither round nor a slot"),
        (("--as", "B=stud:M5"), "5.00 mm (0.197 in) does not go through 3.0"),
        (("--as", "A=opening", "--as", "W1=opening"), "A and W1 are both the opening; write port:NAME"),
        (("--kind", "blank", "--as", "W1=opening"), "a blank lets nothing pass"),
        (("--kind", "intake", "--face", "cylinder", "--as", "W1=opening"), "write --as W1=port:intake"),
        (("--as", "A"), "write a name and what it is for"),
        (("--as", "A=stud:M5", "--as", "a=impulse"), "--as A=stud:M5 and --as A=impulse: say one role of A"),
        (("--kind", "intak"), "did you mean"),
        (("--kind", "joint"), "--into JOB --joint"),
        (("--kind", "screen"), "trace that one, then add this by hand with the outlet plate"),
        (("--kind", "received"), "it is cut by a drawing"),
    ],
)
def test_what_cannot_be_is_refused_with_what_to_write(found, words, said):
    assert said in refused(found, *words)


def test_a_refusal_leaves_no_file(run):
    named = run("--name", "con")

    assert (named.exit_code, run.job.exists()) == (2, False)
    assert "becomes a file name" in named.output


@pytest.mark.parametrize("kind", traced_kinds())
def test_every_kind_that_a_picture_can_become_is_made(found, kind):
    through = KINDS[kind].lets_pass
    roles = {"A": Role("stud", "M5"), "C": Role("stud", "M5"), "B": Role("hole")}
    said = PartSaid(kind=kind, name="part", roles=roles | ({"W1": Role("opening")} if through else {}))
    (made,) = evaluate(parse_job(job_text(found, "old", [said]))).parts.values()

    whole = 70 * 40 - (4 - np.pi) * 64 - np.pi / 4 * (2 * STUD_HOLE**2 + IMPULSE**2)
    assert made.polygon.area == pytest.approx(whole - (24 * 20 - (4 - np.pi) * 25) * through, abs=2.5)
    places = [coordinate for one in made.part.studs for coordinate in one.center]
    assert places == pytest.approx([-27.9, -2.5, 27.9, 2.5], abs=0.1)


def test_kinds_that_none_can_become():
    assert set(KINDS) - set(traced_kinds()) == {"screen", "frame", "deflector", "joint", "received"}
    with pytest.raises(RoleError, match="two faces"):
        kind_of("joint")


@pytest.mark.slow
def test_a_slot_may_hold_a_stud_and_a_dowel_its_own_diameter(tmp_path):
    def plate(u, v):
        cuts = np.minimum(rounded(u + 20.0, v, 9.0, 5.5, 2.75), np.hypot(u - 20.0, v) - 4.05)
        return np.maximum(rounded(u, v, 60.0, 30.0, 6.0), -cuts)

    picture = png_of(scan(shapes=((plate, 0.0, 0.0),), dpi=300, turn=0.0, page=(80.0, 50.0), at=(40.0, 25.0)), 300)
    (tmp_path / "p.png").write_bytes(picture)
    words = ["p.png", "--out", "p.toml", "--kind", "spacer", "--as", "W1=stud:M5", "--as", "A=dowel:8"]
    words = [str(tmp_path / word) if word.endswith(("png", "toml")) else word for word in words]
    assert CliRunner().invoke(main, ["trace", *words], catch_exceptions=False).exit_code == 0
    (spec,) = read_job(str(tmp_path / "p.toml")).parts

    assert (spec.studs[0].stud, spec.dowels[0].stud) == (5.0, 8.0)
    assert (spec.studs[0].length, spec.studs[0].diameter) == pytest.approx((9.0, 5.5), abs=0.02)
    assert spec.dowels[0].diameter == pytest.approx(8.1, abs=0.01)


METAL = (
    "--kind", "intake", "--name", "carb-gasket", "--face", "cylinder", "--as", "A=stud:M5", "--as", "C=stud:M5",
    "--as", "W1=port:intake",
)  # fmt: skip


def test_the_face_of_the_metal_gives_its_ports_as_such(run, tmp_path):
    """The sheet is then cut round the metal's ports, with the clearance holes of the studs."""
    said = run(*METAL, "--as", "B=impulse", "--absent", "oil,water,drain,dowel")

    assert said.exit_code == 0
    (spec,) = read_job(str(run.job)).parts
    assert [(one.name, one.role, one.face) for one in spec.windows] == [
        ("intake", "port", "cylinder"), ("impulse", "passage", "cylinder"),
    ]  # fmt: skip
    assert (spec.opening, spec.unmeasured) == (None, ())
    assert [(one.diameter, one.stud) for one in spec.studs] == [(5.5, 5.0)] * 2  # ISO 273, medium
    assert evaluate(read_job(str(run.job))).verdict is Verdict.FITS


@pytest.mark.slow
def test_an_opening_of_the_metal_that_nobody_named_is_not_left_out_in_silence(run):
    said = run(*METAL)

    assert said.exit_code == 2
    assert "add --as B=ROLE" in said.output
    assert not run.job.exists()


def test_a_port_by_any_name_of_the_opening_speaks_for_all_of_them(found):
    said = PartSaid(kind="reed", face="cylinder", roles={"W1": Role("port", "Reed")})
    (absent,) = [one for one in asked(found.parts[0], said, PROFILES.joints) if one.what == "absent"]

    assert absent.of == ("impulse", "oil", "water", "drain", "dowel")  # and not the intake: `fit` takes it as drawn


def test_a_terminal_is_asked(found, monkeypatch):
    from gasketcut.cli.tracing.dialogue import asked_on_terminal, kind_asked_on_terminal

    typed = iter(["intake", "carb", "stud:M5", "gas", "impulse", "stud:M5", "opening", "paper", "0.5", "all", ""])
    monkeypatch.setattr("click.prompt", lambda *_, **__: next(typed))
    said = asked_on_terminal(found.parts[0], kind_asked_on_terminal(PartSaid()), PROFILES)

    assert {name: role.text for name, role in said.roles.items()} == {
        "A": "stud:M5", "B": "impulse", "C": "stud:M5", "W1": "opening",
    }  # fmt: skip
    assert (said.kind, said.name, said.stock, said.thickness) == ("intake", "carb", "paper", 0.5)
    assert said.absent == ("oil", "water", "drain", "dowel")
    assert [one.what for one in asked(found.parts[0], said, PROFILES.joints)] == ["face_up"]
    assert next(typed, None) is None


def test_on_a_terminal_the_kind_is_asked_before_what_goes_by_it_is_offered(run, monkeypatch):
    typed = iter(["intak", "intake", "stop"])
    offered = []
    monkeypatch.setattr("click.prompt", lambda *_, **__: next(typed))
    monkeypatch.setattr("click.confirm", lambda text: offered.append(text) or text.startswith("role: "))
    monkeypatch.setattr("gasketcut.cli.capture.sys", SimpleNamespace(stdin=Terminal(), stdout=Terminal()))
    said = run()

    assert said.exit_code == 0
    assert len([text for text in offered if text.startswith("role: ")]) == 3
    (spec,) = read_job(str(run.job)).parts
    assert (spec.kind, [one.size for one in spec.studs]) == ("intake", ["M5", "M5"])
    assert next(typed, None) is None


def test_on_a_terminal_a_file_that_is_there_is_refused_before_a_question(run, monkeypatch):
    run.job.write_text("mine", encoding="utf-8")
    monkeypatch.setattr("click.prompt", lambda *_, **__: pytest.fail("asked"))
    monkeypatch.setattr("click.confirm", lambda *_, **__: pytest.fail("asked"))
    monkeypatch.setattr("gasketcut.cli.capture.sys", SimpleNamespace(stdin=Terminal(), stdout=Terminal()))
    said = run()

    assert said.exit_code == 2
    assert "exists; add --replace" in said.output
    assert run.job.read_text(encoding="utf-8") == "mine"


class Terminal:
    def isatty(self):
        return True


def test_a_picture_goes_into_a_job_with_an_overlay_beside_it(run, tmp_path):
    run.job.write_text('title = "x"\nunits = "mm"\n', encoding="utf-8")
    words = ("trace", str(tmp_path / "old.png"), "--into", str(run.job), "--overlay", str(tmp_path / "old.svg"))
    said = CliRunner().invoke(main, words, catch_exceptions=False)

    assert (said.exit_code, said.output.count("--replace")) == (0, 0)
    assert [one.name for one in read_job(str(run.job)).parts] == ["traced"]
    assert (tmp_path / "old.svg").exists()
    before, row = said.output.splitlines()[-2:]
    assert before == f"Take this part out of {run.job} before it is added again."
    assert row.startswith("Add: --kind KIND")


@pytest.mark.slow
def test_a_rendered_scan_with_a_card_becomes_a_job_as_large_as_what_was_drawn(command):
    """Drawn by an SVG rasteriser, disturbed, its scale from a card alone: every figure of the job against the truth."""
    quarter = 2**0.5 - 1
    edge = Loop(
        ((-27, -20), (27, -20), (35, -12), (35, 12), (27, 20), (-27, 20), (-35, 12), (-35, -12)),
        (0.0, quarter) * 4,
    )
    way = Loop(((-12, -10), (12, -10), (12, 10), (-12, 10)), (0.0, 0.25, 0.0, 0.25))
    holes = (Circle((-28.0, -1.0), 2.75), Circle((28.0, 1.0), 2.75), Circle((5.0, 16.0), 1.5))
    gasket = Thing((edge, way, *holes), 0.25, (45.0, 40.0), 4.0)
    how = Disturbed(grain=2.0, jpeg=85, dust=4)
    page = picture_of([gasket, card((45.0, 105.0), 0.12, 1.0)], (95.0, 145.0), 200, how=how)
    page.save(command.folder / "old.jpg", quality=95)
    said = command("trace", "old.jpg", "--out", "job.toml", "--card", *SAID[:-1], "oil,water,drain,dowel",
                   "--accept", "role")  # fmt: skip

    assert said.returncode == 0, said.stderr
    fit = command("fit", "job.toml")
    assert fit.returncode == 1
    assert "metal passage 'impulse' not measured, port" in " ".join(fit.stdout.split())
    (spec,) = read_job(str(command.folder / "job.toml")).parts
    (x, y), (u, v) = (one.at[0] for one in spec.studs)
    assert np.hypot(u - x, v - y) == pytest.approx(np.hypot(56.0, 2.0), abs=0.06)  # a card's edge at 200 dpi
    assert [one.diameter for one in spec.studs] == pytest.approx([5.5, 5.5], abs=0.03)
    assert spec.opening.shape.area == pytest.approx(way.area, rel=0.004)
