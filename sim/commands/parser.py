"""argparse with errors of one line that name the option, and no guessing of shortened options."""

from __future__ import annotations

import argparse
import difflib
from collections.abc import Sequence
from typing import Any, NoReturn

from sim.texts import whole


class UsageError(Exception):
    """A command line that cannot be carried out; its text names the option, the value and what is allowed."""


class Parser(argparse.ArgumentParser):
    """A parser that raises UsageError where argparse would print its usage and leave."""

    def __init__(self, **keywords: Any) -> None:
        keywords.setdefault("formatter_class", argparse.RawDescriptionHelpFormatter)
        super().__init__(allow_abbrev=False, **keywords)

    def error(self, message: str) -> NoReturn:
        """Raises UsageError with argparse's words, the option first."""
        raise UsageError(message.removeprefix("argument "))

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        """As argparse does, but an option that this parser lacks is answered here, where its options are known."""
        options, unknown = super().parse_known_args(args, namespace)
        if unknown:
            raise UsageError(self._no_such(unknown))
        return options, unknown

    def _no_such(self, unknown: Sequence[str]) -> str:
        wrong = unknown[0].split("=")[0]
        if not wrong.startswith("-"):
            return f"{unknown[0]}: not expected here; see {self.prog} --help"
        known = [name for action in self._actions for name in action.option_strings if name.startswith("--")]
        near = [k for k in known if k.startswith(wrong)] or difflib.get_close_matches(wrong, known, n=2)
        meant = f"did you mean {' or '.join(near)}? " if near else ""
        return f"{wrong}: no such option; {meant}See {self.prog} --help"


def add_command(commands: Any, name: str, words: str, usage: str, description: str, epilog: str) -> Any:
    """Add a command to the subparsers of `cuffbias`; `words`: in the list of all, `usage`: what follows its name."""
    line = f"cuffbias {name} {usage}"
    return commands.add_parser(name, help=words, usage=line, description=description, epilog=epilog)


def add_whole(group: Any, option: str, low: int, high: int, default: int, words: str) -> None:
    """Give a parser, or a group of its options, one that takes a whole number."""
    group.add_argument(option, type=whole_number(option, low, high), default=default, metavar="N", help=words)


def whole_number(option: str, low: int, high: int) -> Any:
    """A function that reads one whole number for argparse."""

    def read(text: str) -> int:
        try:
            number = whole(text)
        except ValueError:
            raise UsageError(f"{option} {text!r}: must be a whole number from {low} to {high}") from None
        if not low <= number <= high:
            raise UsageError(f"{option} {number}: must be from {low} to {high}")
        return number

    return read
