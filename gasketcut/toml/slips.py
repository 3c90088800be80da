"""What a person most likely meant where a text is no TOML: slips of the hand, each with its place and what to write.

Offsets count letters from the start of the text.
"""

from __future__ import annotations

import re

_QUOTES = "“”„‟‘’‚«»″"  # those that word processors put in place of the straight ones
_MINUSES = "−–—‒"  # a minus sign and dashes
_CLOSING = {"[": "]", "{": "}"}
_KEY = re.compile(r"[ \t]*(?:[A-Za-z_][\w-]*|\"[^\"\n]*\")(?:[ \t]*\.[ \t]*[\w-]+)*[ \t]*=")
_HEADER = re.compile(r"[ \t]*\[{1,2}[ \t]*(?!true|false|inf|nan)[A-Za-z_][\w.\- ]*\]{1,2}[ \t]*(?:#.*)?(?=\n|$)")
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"""|\'\'\'.*?\'\'\'|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'', re.DOTALL
)  # long ones first
_COMMA = re.compile(r"=[ \t]*(-?\d+,\d+)[ \t]*(?=[,}#\n]|$)", re.MULTILINE)
_TWICE = re.compile(r"Cannot (?:overwrite a value|declare \('(.*?)',?\) twice)")
_SWITCHES = {"true": "true", "false": "false", "yes": "true", "no": "false"}
_VALUE_END = re.compile(r"[,\]}#\n]")


def unclosed(text: str, upto: int) -> tuple[int, str] | None:
    """The bracket, brace or quote that was opened and not closed before `upto`, with what to write."""
    opened: list[int] = []
    at = 0
    while at < len(text):
        letter = text[at]
        if letter == "#":
            at = _line_end(text, at)
        elif letter in "\"'":
            string = _STRING.match(text, at)
            if string is None:
                return (at, f"this quote is not closed; end the text with {letter}") if at <= upto else None
            at = string.end()
        elif letter in "[{":
            opened.append(at)
            at += 1
        elif letter in "]}":
            if not opened:
                return (at, f"'{letter}' closes nothing; take it out, or write what it closes") if at <= upto else None
            last = opened.pop()
            if _CLOSING[text[last]] != letter:
                return last, _open(text, last, f"line {_line(text, at)} closes it with '{letter}'")
            at += 1
        elif letter == "\n" and opened and _has_ended(text, opened[-1], at):
            return opened[-1], _open(text, opened[-1], f"line {_line(text, at + 1)} begins something else")
        else:
            at += 1
    return (opened[-1], _open(text, opened[-1], "the file ends")) if opened else None


def said_at(text: str, at: int, message: str) -> tuple[int, str | None]:
    """What to write at the offset where the TOML reader stopped, and where exactly; None where nothing is known.

    message : what the reader said
    """
    line_start, line_end = text.rfind("\n", 0, at) + 1, _line_end(text, at)
    for comma in _COMMA.finditer(text, line_start, line_end):
        if comma.start(1) <= at <= comma.end() + 1:
            point = _assigned(text, comma.start(1), comma[1].replace(",", "."))
            return comma.start(1), f"a decimal point, not a comma: {point}"
    if twice := _TWICE.match(message):
        name = twice[1].replace("', '", ".") if twice[1] else text[line_start:at].partition("=")[0].strip()
        return line_start, f"'{name}' stands here for the second time; keep one"
    start = _piece_start(text, at, line_start)
    piece = _piece(text, start)
    if start > line_start and (meant := _meant(piece)):
        why, plain = meant
        return start, f"{why}: {_assigned(text, start, plain)}"
    if message.startswith("Unclosed"):
        return at, "a comma is missing before this"
    line = text[line_start:line_end].partition("#")[0].strip()
    if colon := re.fullmatch(r"([A-Za-z_][\w.-]*)[ \t]*:[ \t]*(\S.*)", line):
        return at, f"a key and its value have '=' between them: {colon[1]} = {colon[2]}"
    if line.endswith("="):
        return at, f"nothing stands after '{line}'; write its value, or take the line out"
    return at, None


def split_by_comma(written: str) -> str:
    """What to add to a message about a list of the wrong length: a decimal comma splits a number in two."""
    tight = re.findall(r"-?\b\d+,\d+\b(?!\.)", written)
    if len(tight) == 1:
        return f"; a decimal point, not a comma: {tight[0].replace(',', '.')}"
    return "; a decimal has a point, not a comma" if tight else ""


def _meant(piece: str) -> tuple[str, str] | None:
    """Why the value is none, and the value that was meant."""
    if piece[:1] and piece[0] in _QUOTES:
        return "put text in straight quotes", re.sub(f"[{_QUOTES}]+", '"', piece)
    if piece[:1] and piece[0] in _MINUSES:
        return "this is a dash, not the minus sign of the keyboard", re.sub(f"^[{_MINUSES}] *", "-", piece)
    if piece.casefold() in _SWITCHES:
        return "write it in small letters, without quotes", _SWITCHES[piece.casefold()]
    if re.fullmatch(r"[+-]?(\.\d+|\d+\.)", piece):
        whole = f"{piece}0" if piece.endswith(".") else piece.replace(".", "0.")
        return "a digit stands on both sides of the point", whole
    if re.fullmatch(r"-?[\d./ ]*\d *(?:[A-Za-z]+|[\"″'′°])", piece):
        unit = re.sub(r" *°$", " deg", re.sub(r' *["″]$', " in", piece))
        return "a value with a unit stands in quotes", f'"{unit}"'
    if re.fullmatch(r"[^\W\d_][\w ./-]*", piece):
        return "put text in straight quotes", f'"{piece}"'
    return None


def _assigned(text: str, start: int, value: str) -> str:
    """With the key before it, where it stands behind one."""
    key = re.search(r"([\w.-]+)[ \t]*=[ \t]*$", text[text.rfind("\n", 0, start) + 1 : start])
    return f"{key[1]} = {value}" if key else value


def _has_ended(text: str, opened: int, newline: int) -> bool:
    """Does the next line show that what was opened should have been closed? A table in braces has one line only."""
    following = newline + 1
    return text[opened] == "{" or bool(_KEY.match(text, following) or _HEADER.match(text, following))


def _open(text: str, opened: int, seen: str) -> str:
    name = {"[": "bracket", "{": "brace"}[text[opened]]
    return f"the {name} '{text[opened]}' that opens here is not closed: {seen}; add '{_CLOSING[text[opened]]}'"


def _piece_start(text: str, at: int, line_start: int) -> int:
    """Where the value begins in which the offset lies."""
    begin = max(text.rfind(mark, line_start, at) for mark in "=,[{")
    start = max(begin + 1, line_start)
    while start < len(text) and text[start] in " \t":
        start += 1
    return start


def _piece(text: str, start: int) -> str:
    """The value from there on, as far as it goes on the line."""
    end = _VALUE_END.search(text, start)
    return text[start : end.start() if end else len(text)].strip()


def _line(text: str, at: int) -> int:
    return text.count("\n", 0, min(at, len(text))) + 1


def _line_end(text: str, at: int) -> int:
    end = text.find("\n", at)
    return len(text) if end < 0 else end
