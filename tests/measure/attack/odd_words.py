"""Words that are no text, in every place of the command line and in locales without letters."""

from __future__ import annotations

import json
import tempfile
from functools import partial
from pathlib import Path

from tests.kit.bounded_run import run
from tests.kit.odd_home import OddHome
from tests.kit.odd_words import COMMANDS, HERE, LOCALES, WORDS, command
from tests.measure.attack.attempts import Attempts, tool


def attack(short: bool) -> Attempts:
    """Run every command with every odd word in every locale; then every line of a journal must be text."""
    attempts = Attempts()
    attempts.side_by_side([partial(_run_all, short=short, half=half) for half in (0, 1)])
    return attempts


def _run_all(attempts: Attempts, short: bool, half: int) -> None:
    """Run every other command in a log of its own."""
    with tempfile.TemporaryDirectory() as folder:
        odd = OddHome(Path(folder), tool())
        number = 0
        for locale, variables in LOCALES.items():
            for name, word in WORDS.items():
                for words in COMMANDS:
                    number += 1
                    if number % 2 != half or (name != "latin 1" and HERE not in "".join(words)):
                        continue
                    if short and number % 41:
                        continue
                    argv = [*(part.encode() for part in tool()), *command(words, word)]
                    wrong = run(argv, odd.env | variables, cwd=odd.folder).wrong()
                    attempts.expect(wrong is None, f"{locale}, {name}: {' '.join(words)}: {wrong}")
        _expect_text(attempts, odd)


def _expect_text(attempts: Attempts, odd: OddHome) -> None:
    """Count each line of the log's files, and what `log list --json` prints, as an attempt to read it."""
    for path in sorted(odd.home.rglob("*.jsonl")):
        for line in path.read_bytes().splitlines():
            attempts.expect(_is_json(line), f"{path.name}: no JSON in UTF-8: {line[:80]!r}")
    for variables in LOCALES.values():
        listed = run([*tool(), "log", "list", "--json"], odd.env | variables, cwd=odd.folder)
        attempts.expect(_is_json(listed.out), f"log list --json with {variables}: {listed.text[:80]!r}")


def _is_json(data: bytes) -> bool:
    try:
        json.loads(data.decode("utf-8"))
    except ValueError:
        return False
    return True
