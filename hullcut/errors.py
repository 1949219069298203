"""The family of exceptions that a user may meet.

    HullcutError
    +-- DesignError     faults in a file that a person wrote (exit code 2)
    +-- BuildError      a boat that is understood but cannot be built (exit code 1)
    +-- OutputError     results that cannot be written (exit code 2)

Every one carries a tuple of `Fault`; its text is one line per fault.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["BuildError", "DesignError", "Fault", "HullcutError", "OutputError"]


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong, where it stands, and what to write instead.

    Attributes:
        file: the file's name as the user gave it; empty where no file is to blame.
        line: the line counted from 1; None where no line is to blame.
        key: the dotted key, "hull.beam"; empty where no key is to blame.
        problem: what is wrong.
        remedy: what to write or do instead.
    """

    file: str
    line: int | None
    key: str
    problem: str
    remedy: str

    def __str__(self) -> str:
        """The fault as `file:line: key: what is wrong; what to write instead`."""
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        head = ": ".join(part for part in (place, self.key) if part)
        body = f"{self.problem}; {self.remedy}" if self.remedy else self.problem
        return f"{head}: {body}" if head else body


class HullcutError(Exception):
    """The root of all errors that are told to the user in plain words.

    Attributes:
        faults: every fault found, in the order in which they stand in the file.
    """

    exit_code = 1

    def __init__(self, *faults: Fault) -> None:
        self.faults = faults
        super().__init__("\n".join(str(fault) for fault in faults))


class DesignError(HullcutError):
    """A design or order file that cannot be read or holds wrong values."""

    exit_code = 2


class BuildError(HullcutError):
    """A boat that is understood but cannot be built as asked."""

    exit_code = 1


class OutputError(HullcutError):
    """Results that cannot be written where they were asked for."""

    exit_code = 2
