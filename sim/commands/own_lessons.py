"""The option `--lessons`: a folder with lessons of one's own, beside the built-in ones."""

from __future__ import annotations

import argparse
from pathlib import Path

from sim.commands.parser import UsageError


def add_option(parser: argparse.ArgumentParser, words: str = "A folder with lessons of your own") -> None:
    """Give a parser the option."""
    parser.add_argument("--lessons", metavar="FOLDER", dest="own", type=_folder, help=words)


def folders(options: argparse.Namespace) -> tuple[Path, ...]:
    """The folders that `load_all` takes besides: none where the option is not given."""
    return () if options.own is None else (options.own,)


def _folder(text: str) -> Path:
    try:
        if Path(text).is_dir():
            return Path(text)
    except (OSError, ValueError):  # a name that no folder can have
        pass
    raise UsageError(f"--lessons {text}: must be a folder that is there; cuffbias lesson new NAME begins a lesson")
