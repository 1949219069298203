"""Papers that a home or school printer takes.

A3 and A4 from ISO 216; letter and tabloid are sizes A and B of ANSI/ASME Y14.1; legal is 8 1/2 by 14 in
(common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["PAPERS", "Paper", "paper_named"]


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper, upright.

    Attributes:
        name: in lower case.
        width, height: mm.
    """

    name: str
    width: float
    height: float

    def turned(self) -> Paper:
        """The same paper on its side."""
        return Paper(self.name, self.height, self.width)


PAPERS: dict[str, Paper] = {
    "letter": Paper("letter", 8.5 * 25.4, 11 * 25.4),
    "legal": Paper("legal", 8.5 * 25.4, 14 * 25.4),
    "tabloid": Paper("tabloid", 11 * 25.4, 17 * 25.4),
    "a4": Paper("a4", 210.0, 297.0),
    "a3": Paper("a3", 297.0, 420.0),
}


def paper_named(name: str) -> Paper:
    """The paper of a name, in any case.

    Raises:
        ValueError: there is none; the message lists those there are.
    """
    paper = PAPERS.get(name.strip().lower())
    if paper is None:
        raise ValueError(f"no paper is called {name!r}; write one of {', '.join(PAPERS)}")
    return paper
