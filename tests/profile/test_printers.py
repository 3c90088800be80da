"""What a printer's bars measured, kept in the user's own folder."""

import pytest

from gasketcut.errors import ProfileError
from gasketcut.profile.printers import keep_printer, read_printers


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setattr("gasketcut.profile.printers.user_folder", lambda: tmp_path)
    return tmp_path


def test_one_is_kept_among_those_that_are_there_whatever_they_are_called(home):
    (home / "printers.toml").write_text(
        '[printer]\n"the \\"old\\" one" = "99x100"\n"Übel" = "98.5x99"\n', encoding="utf-8"
    )
    file = keep_printer("office", "99.4x100.3")

    assert file == home / "printers.toml"
    assert read_printers() == {'the "old" one': "99x100", "Übel": "98.5x99", "office": "99.4x100.3"}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[printer]\noffice = 99.4", "printers.toml:2:10: printer.office: write a text in quotes"),
        ("[printers]\noffice = '99x100'", "printers.toml:1:1: printers: unknown key; did you mean 'printer'"),
        ("[printer]\noffice = 99x100", "printers.toml:2:12: not valid TOML"),
    ],
)
def test_a_slip_is_said_and_what_is_there_is_not_written_over(home, text, words):
    (home / "printers.toml").write_text(text, encoding="utf-8")
    with pytest.raises(ProfileError, match=words):
        keep_printer("office", "99.4x100.3")
    assert (home / "printers.toml").read_text(encoding="utf-8") == text
