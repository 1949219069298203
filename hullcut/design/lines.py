"""Where each key of a TOML file stands.

`tomllib` gives values without positions. This scan walks the same text, already known to be good TOML, and
notes the line of every key, so that a message can point at it. Elements of arrays are counted from 1, as
people count: "shop.stock[2].length".
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass

__all__ = ["key_lines", "line_of"]

_TOKEN = re.compile(
    r"""
    (?P<skip>[ \t]+|\#[^\n]*)
    |(?P<newline>\n)
    |(?P<string>"{3}(?:[^\\]|\\.)*?"{3}"{0,2}|'{3}.*?'{3}'{0,2}|"(?:[^"\\\n]|\\.)*"|'[^'\n]*')
    |(?P<sign>[\[\]{}=,.])
    |(?P<bare>[^\s\[\]{}=,.\#"']+|.)
    """,
    re.VERBOSE | re.DOTALL,
)


def key_lines(text: str) -> dict[str, int]:
    """Return the line, counted from 1, on which each key of a TOML text first stands.

    Args:
        text: good TOML.

    Returns:
        Dotted keys in the order of the file; a table has the line of its header.
    """
    scan = _Scan(text)
    scan.run()
    return scan.lines


def line_of(key: str, lines: dict[str, int]) -> int | None:
    """Return the line of a key, or of the nearest table or array around it; None where there is none."""
    while key:
        if key in lines:
            return lines[key]
        cut = max(key.rfind("."), key.rfind("["))
        key = key[:cut] if cut > 0 else ""
    return None


@dataclass(frozen=True, slots=True)
class _Token:
    kind: str
    text: str
    line: int


def _tokens(text: str) -> Iterator[_Token]:
    line = 1
    for found in _TOKEN.finditer(text):
        kind = found.lastgroup or ""
        if kind != "skip":
            yield _Token(kind, found.group(), line)
        line += found.group().count("\n")


class _Scan:
    """One walk over the tokens; `lines` fills as it goes."""

    def __init__(self, text: str) -> None:
        self.lines: dict[str, int] = {}
        self._tokens = [*_tokens(text.replace("\r\n", "\n")), _Token("end", "", 0)]
        self._at = 0
        self._counts: dict[str, int] = {}

    def run(self) -> None:
        table = ""
        while (token := self._tokens[self._at]).kind != "end":
            if token.kind == "newline":
                self._at += 1
            elif token.text == "[" and token.kind == "sign":
                table = self._header()
            else:
                self._key_and_value(table)

    def _header(self) -> str:
        line = self._tokens[self._at].line
        many = self._tokens[self._at + 1].text == "[" and self._tokens[self._at + 1].kind == "sign"
        self._at += 2 if many else 1
        parts = self._key_parts("]")
        self._at += 2 if many else 1
        path = ""
        for i, part in enumerate(parts):
            path = f"{path}.{part}" if path else part
            self.lines.setdefault(path, line)
            if many and i == len(parts) - 1:
                self._counts[path] = self._counts.get(path, 0) + 1
            if path in self._counts:
                path = f"{path}[{self._counts[path]}]"
                self.lines.setdefault(path, line)
        return path

    def _key_parts(self, closing: str) -> list[str]:
        """The parts of a dotted key, up to a closing sign that is left standing."""
        parts = []
        while (token := self._tokens[self._at]).kind != "end":
            if token.kind == "sign" and token.text == closing:
                break
            if token.kind == "string":
                parts.append(str(tomllib.loads(f"key = {token.text}")["key"]))
            elif token.kind == "bare":
                parts.append(token.text)
            self._at += 1
        return parts

    def _key_and_value(self, table: str) -> None:
        line = self._tokens[self._at].line
        path = table
        for part in self._key_parts("="):
            path = f"{path}.{part}" if path else part
            self.lines.setdefault(path, line)
        self._at += 1
        self._value(path)

    def _value(self, path: str) -> None:
        token = self._tokens[self._at]
        if token.kind == "sign" and token.text == "[":
            self._array(path)
        elif token.kind == "sign" and token.text == "{":
            self._inline_table(path)
        else:
            while not self._at_end_of_value():
                self._at += 1

    def _at_end_of_value(self) -> bool:
        token = self._tokens[self._at]
        return token.kind in ("newline", "end") or (token.kind == "sign" and token.text in ",]}")

    def _array(self, path: str) -> None:
        self._at += 1
        count = 0
        while (token := self._tokens[self._at]).kind != "end":
            if token.kind == "sign" and token.text == "]":
                self._at += 1
                return
            if token.kind == "newline" or (token.kind == "sign" and token.text == ","):
                self._at += 1
                continue
            count += 1
            self.lines.setdefault(f"{path}[{count}]", token.line)
            self._value(f"{path}[{count}]")

    def _inline_table(self, path: str) -> None:
        self._at += 1
        while (token := self._tokens[self._at]).kind != "end":
            if token.kind == "sign" and token.text == "}":
                self._at += 1
                return
            if token.kind == "newline" or (token.kind == "sign" and token.text == ","):
                self._at += 1
                continue
            self._key_and_value(path)
