"""What is known of sheets, fasteners, cutters and the rest: ours, then the user's, then the job's folder."""

import pickle
from dataclasses import FrozenInstanceError, astuple, fields, replace

import pytest

from gasketcut import evaluate, parse_job, parts, read_job
from gasketcut.engine.topend.ring import rules_for
from gasketcut.errors import GasketError, ProfileError
from gasketcut.profile.own import shipped
from gasketcut.profile.profiles import NAMES, Profiles, read_profiles
from gasketcut.profile.squish import Running
from gasketcut.rendering.job_files import Options, render
from tests.making import make

OURS = Profiles()
PLATE = 'units = "mm"\n[[part]]\nname = "plate"\nkind = "flat"\noutline = { rectangle = [80.0, 60.0] }\n'


@pytest.fixture
def home(tmp_path, monkeypatch):
    """The user's config folder, empty."""
    folder = tmp_path / "home"
    folder.mkdir()
    monkeypatch.setattr("gasketcut.profile.own.user_folder", lambda: folder)
    return folder


def write(folder, **files):
    for name, text in files.items():
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")


# -- ours -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_ours_read_as_a_users_own_has_no_fault_and_changes_nothing(home, name):
    (home / f"{name}.toml").write_bytes(shipped(name).read_bytes())
    mine = read_profiles()

    assert [file.name for file in mine.own] == [name]
    if name == "cutters":  # which keeps what is ours and what is the user's apart
        assert replace(mine.cutters, sections=()) == replace(OURS.cutters, sections=())
        assert [replace(one, is_own=False) for one in mine.cutters.sections] == [*OURS.cutters.sections] * 2
    else:
        assert getattr(mine, name) == getattr(OURS, name)


def test_ours_say_everything():
    sheets, running = OURS.sheets, OURS.squish.running

    assert (sheets.land_warn, sheets.land_stop) == (2.0, 1.0)
    assert dict(sheets.spans) == {"soft": 60, "medium": 80, "stiff": 110}
    assert all(one.says and one.compressibility and one.stress for one in sheets.materials)
    assert min(getattr(running, one.name) or 1.0 for one in fields(Running)) > 0
    assert OURS.cutters.processes == ("co2", "fibre", "knife", "waterjet", "hand")
    assert all(OURS.cutters.verdict(kind.name, process) for kind in OURS.cutters.kinds for process in ("co2", "hand"))
    assert OURS.cutters.foil == 0.15
    assert min(astuple(OURS.outlet.screen)[:3]) > 0.3
    assert "before July 1, 1978" in OURS.outlet.screen.says
    assert (OURS.ring.worn, OURS.punches.clear) == (0.75, 0.1)
    assert [len(one) for one in OURS.punches.sets] == [21, 14]
    assert OURS.joints.of("exhaust", parts.Exhaust.passages) == ("exhaust", "water", "dowel")
    assert OURS.joints.of("flat", parts.Flat.passages) == ()


def test_a_profile_cannot_be_changed_and_can_be_sent_elsewhere():
    assert OURS.sheets.materials  # read by now
    with pytest.raises(FrozenInstanceError):
        OURS.own = ()
    with pytest.raises(FrozenInstanceError):
        OURS.sheets.land_warn = 0.1
    assert pickle.loads(pickle.dumps(OURS)) == OURS


# -- whose entry counts -----------------------------------------------------------------------------------------------


def test_the_jobs_folder_comes_before_the_users_and_that_before_ours(tmp_path, home):
    write(home, sheets="[land]\nwarn = 3.0\nstop = 1.5\n[material.felt]\nsays = 'grey'\n[material.can]\nsays = 'tin'\n")
    write(tmp_path, sheets="[land]\nstop = 1.2\n[material.felt]\nstiffness = 'stiff'\n")
    sheets = read_profiles(tmp_path).sheets

    assert (sheets.land_warn, sheets.land_stop) == (3.0, 1.2)
    assert (sheets.material("felt").says, sheets.material("felt").stiffness) == (
        "felt",
        "stiff",
    )  # the entry as a whole
    assert (sheets.material("can").says, sheets.material("can").compressibility) == ("tin", None)
    assert sheets.material("copper") == OURS.sheets.material("copper")
    assert sheets.span(sheets.material("felt")) == 110.0
    assert sheets.span(None) == 60.0


def test_an_edited_file_is_seen_when_profiles_are_read_again(tmp_path, home):
    found = []
    for worn in (0.6, 0.9):
        write(tmp_path, ring=f"worn = {worn}\n")
        found.append(read_profiles(tmp_path).ring.worn)
    assert found == [0.6, 0.9]
    assert read_profiles().ring.worn == 0.75


def test_the_shipped_example_lies_beside_ours_which_are_nobodys_own(home):
    assert read_profiles(shipped("demo").parent).own == ()


@pytest.mark.parametrize("name", ["ring", "outlet", "squish"])
def test_a_job_may_have_the_name_of_a_profile(tmp_path, home, name):
    write(tmp_path, **{name: PLATE})
    assert read_job(tmp_path / f"{name}.toml").parts[0].name == "plate"
    assert read_profiles(tmp_path).own == ()


def test_a_ring_rule_in_mm_is_no_share_of_the_bore(tmp_path, home):
    write(tmp_path, ring='rules = [{ says = "manual", least = 0.2, most = 0.4 }]\n')
    (rule,) = rules_for(66.0, read_profiles(tmp_path).ring)
    assert (rule.least, rule.most, rule.source) == (0.2, 0.4, "not named")


def test_every_kind_of_own_entry(tmp_path, home):
    write(
        tmp_path,
        fasteners="[size.M9]\ndiameter = 9.0\nfine = 9.5\nmedium = 10.0\ncoarse = 11.0\n",
        papers='[paper]\nroll = { width = 610.0, height = "50 in" }\n',
        punches="[punch]\nmetric = [5, 6.5]\ninch = []\n",
        joints='[passages]\nreed = ["intake", "boost"]\n',
        outlet='marks = [{ percent = 90, says = "b" }, { percent = 70, says = "a" }]\n[screen]\nwire = 0.2\n',
        squish='advice = [{ engines = "mine", low = 0.7, high = 0.9 }]\n[running]\nplay_mm = 0.03\n',
    )
    mine = read_profiles(tmp_path)

    assert mine.fasteners.size("M9").hole("medium") == 10.0
    assert mine.fasteners.names == (*OURS.fasteners.names, "M9")
    assert (mine.papers.paper("roll").width, mine.papers.paper("roll").height) == (610.0, pytest.approx(1270.0))
    assert mine.punches.sets == ((("5 mm", 5.0), ("6.5 mm", 6.5)),)
    assert mine.joints.of("reed", parts.Reed.passages) == ("intake", "boost")
    assert [mark.percent for mark in mine.outlet.marks] == [70, 90]
    assert (mine.outlet.screen.wire, mine.outlet.screen.opening) == (0.2, 0.584)
    assert [one.engines for one in mine.squish.advice] == ["mine"]
    assert (mine.squish.running.play_mm, mine.squish.running.rod_rise_k) == (0.03, 100.0)


# -- used -------------------------------------------------------------------------------------------------------------


def test_a_paper_of_ones_own_is_printed_on(tmp_path, home):
    write(tmp_path, papers="[paper.card]\nwidth = 250\nheight = 400\n")
    job = parse_job(PLATE, tmp_path / "job.toml")
    make(job, tmp_path / "out", Options(paper="card"))

    assert b"/MediaBox [ 0 0 708.6614 1133.858 ]" in (tmp_path / "out" / "plate.pdf").read_bytes()
    with pytest.raises(GasketError, match="paper = 'crad' is not known; did you mean 'card'"):
        make(job, tmp_path / "other", Options(paper="crad"))
    with pytest.raises(GasketError, match=r"write one of a4, letter, a3, legal, tabloid$"):
        render(evaluate(job, OURS), Options(paper="quarto"))


def test_profiles_handed_in_count_and_not_those_of_the_folder(tmp_path, home):
    write(tmp_path, sheets="[material.felt]\nsays = 'grey'\n")
    text = PLATE + 'stock = "s"\n[[stock]]\nname = "s"\nthickness = 1.0\nmaterial = "felt"\n'

    assert parse_job(text, tmp_path / "job.toml").stock[0].material == "felt"
    with pytest.raises(GasketError, match="'felt' is not known"):
        parse_job(text, tmp_path / "job.toml", OURS)


def test_the_command_line_says_which_papers_there_are(command, tmp_path):
    (tmp_path / "job.toml").write_text(PLATE, encoding="utf-8")
    for words in (["make", "job.toml", "--out", "out"], ["record", "job.toml", "--out", "out"]):
        done = command(*words, "--paper", "a44")
        assert (done.returncode, done.stdout) == (2, "")
        assert done.stderr.strip() == "paper = 'a44' is not known; did you mean 'a4'?"
    assert not (tmp_path / "out").exists()


def test_a_command_prints_the_faults_of_a_profile_as_those_of_a_job(command, tmp_path):
    (tmp_path / "sheets.toml").write_text("[land]\nwran = 3.0\n", encoding="utf-8")
    (tmp_path / "ring.toml").write_text("worn = '0.7 mm'\n", encoding="utf-8")
    done = command("fit", "job.toml", text=PLATE)

    assert done.returncode == 2
    assert done.stderr.splitlines() == [
        "sheets.toml:2:1: land.wran: unknown key; did you mean 'warn'?",
        "    wran = 3.0",
        "    ^",
        "ring.toml:1:8: worn: '0.7 mm' is not a plain number; write e.g. worn = 10.5",
        "    worn = '0.7 mm'",
        "           ^",
    ]


def test_every_file_says_its_faults_at_once(tmp_path, home):
    write(home, sheets="[land]\nwarn = 0\nstop = 'x'\n", papers="[paper\n")
    write(tmp_path, sheets="[spam]\nx = 1\n", fasteners="[size.M9]\ndiameter = 9.0\n")
    with pytest.raises(ProfileError) as caught:
        read_profiles(tmp_path)
    faults = {(file.removeprefix(f"{tmp_path}/"), fault.line) for file, all_ in caught.value.faults.items()
              for fault in all_}  # fmt: skip

    assert faults == {("home/sheets.toml", 2), ("home/sheets.toml", 3), ("home/papers.toml", 1), ("sheets.toml", 1),
                      ("fasteners.toml", 1)}  # fmt: skip
    assert len(caught.value.faults[str(tmp_path / "fasteners.toml")]) == 3  # fine, medium and coarse
