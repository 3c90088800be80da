"""A fault says what to write, and shows the spot with a caret."""

import pytest

from gasketcut import JobError, parse_job, read_job
from gasketcut.errors import Fault
from gasketcut.toml.document import data_of
from gasketcut.toml.slips import unclosed

RING = (
    'title = "t"\nunits = "mm"\n[[part]]\nname = "ring"\nkind = "flat"\noutline = { round = 60.0 }\n'
    "opening = { round = 40.0 }\n"
)

SLIPS = [  # text, line, column, what it says
    ("size = M5\n", 1, 8, 'put text in straight quotes: size = "M5"'),
    ("a = 1\nsize = “M5”\n", 2, 8, 'put text in straight quotes: size = "M5"'),
    ("size = „M5“\n", 1, 8, 'put text in straight quotes: size = "M5"'),
    ("s = { at = [0, 1], size = M5 }\n", 1, 27, 'put text in straight quotes: size = "M5"'),
    ("at = [0, −11]\n", 1, 10, "this is a dash, not the minus sign of the keyboard: -11"),
    ("at = [[0, –11.5], [1, 2]]\n", 1, 11, "this is a dash, not the minus sign of the keyboard: -11.5"),
    ("rod = 58 mm # ours\n", 1, 7, 'a value with a unit stands in quotes: rod = "58 mm"'),
    ('rod = 3/16"\n', 1, 7, 'a value with a unit stands in quotes: rod = "3/16 in"'),
    ("opens = 103°\n", 1, 9, 'a value with a unit stands in quotes: opens = "103 deg"'),
    ("target = 0,5\n", 1, 10, "a decimal point, not a comma: target = 0.5"),
    ("x = { round = 0,5 }\n", 1, 15, "a decimal point, not a comma: round = 0.5"),
    ("x = { round = 3\ny = 2\n", 1, 5, "the brace '{' that opens here is not closed: line 2 begins something else"),
    ("r = [\n {a = 1},\n {a = 2},\n\n[part]\na = 1\n", 1, 5, "the bracket '[' that opens here is not closed: line 5"),
    ('at = [[0, 1], [2, 3]\nsize = "M5"\n', 1, 6, "is not closed: line 2 begins something else; add ']'"),
    ("a = [1, 2\n", 1, 5, "is not closed: the file ends; add ']'"),
    ("a = [1, 2}\n", 1, 5, "is not closed: line 1 closes it with '}'; add ']'"),
    ("[engine\nbore = 3\n", 1, 1, "the bracket '[' that opens here is not closed"),
    ('title = "abc\nb = 1\n', 1, 9, "this quote is not closed"),
    ("x = ]\n", 1, 5, "']' closes nothing"),
    ("bore: 44\n", 1, 5, "a key and its value have '=' between them: bore = 44"),
    ("bore =\nx = 1\n", 1, 7, "nothing stands after 'bore ='"),
    ("a = 1\na = 2\n", 2, 1, "'a' stands here for the second time; keep one"),
    ("[a.b]\nx = 1\n[a.b]\ny = 2\n", 3, 1, "'a.b' stands here for the second time"),
    ("x = yes\n", 1, 5, "write it in small letters, without quotes: x = true"),
    ("x = .5\n", 1, 5, "a digit stands on both sides of the point: x = 0.5"),
    ("x = 1.\n", 1, 5, "a digit stands on both sides of the point: x = 1.0"),
    ("at = [[0, 1] [2, 3]]\n", 1, 14, "a comma is missing before this"),
    ("# “a”, it's [ { −3\nx = 1 1\n", 2, 7, "not valid TOML"),
]


@pytest.mark.parametrize(("text", "line", "column", "says"), SLIPS)
def test_a_slip_of_the_hand_is_named_and_shown(text, line, column, says):
    fault = data_of(text)

    assert isinstance(fault, Fault)
    assert (fault.line, fault.column) == (line, column)
    assert says in fault.message
    first, shown, caret = fault.text("job.toml").split("\n")
    assert first == f"job.toml:{line}:{column}: {fault.message}"
    assert shown == "    " + text.split("\n")[line - 1].rstrip()
    assert caret == " " * (4 + column - 1) + "^"
    assert data_of(text.replace("\n", "\r\n")) == fault


def test_brackets_in_texts_and_comments_are_left_alone():
    text = 'a = "[{" # [ { \' "\nb = \'}]\'\nc = [ # [\n 1, # ]\n]\nd = """\n[ {" """\n'
    assert isinstance(data_of(text), dict)
    assert unclosed(text, len(text)) is None


SAID = [  # old, new, column, what it says
    ("opening = { round = 40.0 }", "opening = 16", 11, "write opening = { round = 16 }"),
    ("opening = { round = 40.0 }", "opening = { diameter = 16 }", 24, "say round = 16"),
    ('"flat"', '"carburetor"', 8, "'carburetor' is called kind = \"intake\" here"),
    ('"flat"', '"carburettor"', 8, '"intake"'),
    ('"flat"', '"Cylinder"', 8, '"base"'),
    ('"flat"', '"muffler"', 8, '"exhaust"'),
    ("round = 60.0", "round = 60.0, at = [0, -11,5]", 32, "a decimal point, not a comma: -11.5"),
    ("round = 60.0", 'round = "−60 mm"', 21, 'write "-60 mm"'),
    ("round = 60.0", "rond = 60.0", 13, "did you mean 'round'"),
]


@pytest.mark.parametrize(("old", "new", "column", "says"), SAID)
def test_what_was_meant_is_said_at_the_spot(old, new, column, says):
    with pytest.raises(JobError) as caught:
        parse_job(RING.replace(old, new))

    fault = next(fault for fault in caught.value.faults if says in fault.message)
    assert fault.column == column
    assert fault.source == RING.replace(old, new).split("\n")[fault.line - 1]


def test_a_piston_travel_is_never_turned_into_degrees():
    with pytest.raises(JobError) as caught:
        parse_job(RING + '[engine]\nbore = 44\n[engine.ports]\nexhaust = { opens = "14.2 mm", centre = "3 mm" }\n')

    opens, centre = caught.value.faults
    assert 'write travel = "14.2 mm" in place of opens' in opens.message
    assert "14.2 deg" not in str(caught.value)
    assert '"3 deg"' not in centre.message


@pytest.mark.parametrize("words", ['[[outlet.stage]]\nname = "a"\nshape = { round = 4 }',
                                   '[[part]]\nname = "o"\nkind = "outlet"\noutline = { round = 50 }\n'
                                   "outlet = { shape = { round = 4 } }"])  # fmt: skip
def test_an_outlet_takes_the_word_itself(words):
    with pytest.raises(JobError, match=r"e\.g\. round = 12\.0, without shape = \{ \.\.\. \} round it") as caught:
        parse_job(RING + words)

    assert [fault.key.split(".")[-1] for fault in caught.value.faults] == ["shape"]


def test_a_file_of_an_older_program_says_line_and_letter(tmp_path):
    file = tmp_path / "job.toml"
    file.write_bytes('units = "mm"\ntitle = "Säge"\n'.encode("cp1252"))
    with pytest.raises(JobError) as caught:
        read_job(file)

    assert str(caught.value).split("\n") == [
        f"{file}:2:11: the letter 'ä' is not in UTF-8; save the file as UTF-8",
        '    title = "Säge"',
        "              ^",
    ]


def test_a_long_line_is_shown_round_the_spot_and_tabs_keep_their_width():
    fault = Fault(3, "a", "wrong", 301, "x" * 300 + "!" + "y" * 300)
    _, shown, caret = fault.text("f").split("\n")
    assert shown[caret.index("^")] == "!"
    assert len(shown) <= 104
    _, shown, caret = Fault(1, "a", "wrong", 6, "\tb = \x1b[1m").text("f").split("\n")
    assert (shown, caret) == ("     b =  [1m", "         ^")


def test_what_is_there_and_wrong_is_not_called_missing():
    text = RING + 'holes = { at = [0, -11,5], size = "M5.5" }\n'
    with pytest.raises(JobError) as caught:
        parse_job(text)
    assert [fault.key for fault in caught.value.faults] == ["part.1.holes.at", "part.1.holes.size"]
    assert caught.value.faults[0].message.endswith("a decimal point, not a comma: -11.5")
    assert "is missing" not in str(caught.value)


def test_a_list_of_tables_is_named_by_its_whole_way():
    with pytest.raises(JobError, match=r"write \[\[squish.readings\]\] with its keys below"):
        parse_job('units = "mm"\n[squish]\ntarget = 0.5\nreadings = 1979-05-27\n')
