"""The option `--lessons`: a folder with lessons of one's own, beside the built-in ones."""

from __future__ import annotations

import argparse
from pathlib import Path

from sim.commands.parser import UsageError


def add_option(parser: argparse.ArgumentParser, words: str = "A folder with lessons of your own") -> None:
    """Give a parser the option."""
    parser.add_argument("--lessons", metavar="FOLDER", dest="own", help=words)


def folders(options: argparse.Namespace) -> tuple[Path, ...]:
    """The folders that `load_all` takes besides: none where the option is not given. Raises UsageError."""
    if options.own is None:
        return ()
    try:
        if Path(options.own).is_dir():
            return (Path(options.own),)
    except (OSError, ValueError):  # a name that no folder can have
        pass
    raise UsageError(
        f"--lessons {options.own}: must be a folder that is there; cuffbias lesson new NAME begins a lesson"
    )
