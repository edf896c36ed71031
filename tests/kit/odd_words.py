"""Words that no keyboard types, in every place of the command line, and surroundings that nobody chose."""

from __future__ import annotations

from tests.kit.exports import FIRST
from tests.kit.odd_files import ESCAPES

HERE = "X"
"""Stands for the odd word in a command."""
WORDS: dict[str, bytes] = {
    "latin 1": b"caf\xe9",
    "no text at all": b"\xff\xfe\x80",
    "half a pair": b"\xed\xa0\x80",
    "cut off": "Krug f\u00fc".encode()[:-1],
    "utf-8": "Krug für Öl 20 °C".encode(),
    "escapes": ESCAPES.encode(),
    "C1 controls": "\x9b31m\x85x".encode(),
    "lines": b"a\nb\r\nc\x0b",
    "picture": "\U0001f4f7\ufffe".encode(),
    "long": b"\xe9" * 30_000,
    "empty": b"",
    "option": b"--\xff",
}
"""{name: bytes of an argument}."""
LOCALES: dict[str, dict[str, str]] = {
    "utf-8": {"LANG": "C.UTF-8"},
    "plain C": {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
    "latin 1": {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0", "PYTHONIOENCODING": "latin-1"},
    "strict ascii": {"LANG": "C.UTF-8", "PYTHONIOENCODING": "ascii:strict"},
    "unknown": {"LC_ALL": "xx_YY.nothing", "LANG": "\x1b[31m"},
}
"""{name: variables}."""
COMMANDS: tuple[tuple[str, ...], ...] = (
    (HERE,),
    ("log", HERE),
    ("log", "list", HERE),
    ("log", "list", "--json", HERE),
    ("log", "show", HERE),
    ("log", "show", "--json", FIRST),
    ("log", "note", FIRST, HERE),
    ("log", "note", HERE, "x"),
    ("log", "rate", FIRST, "--fault", HERE),
    ("log", "rate", FIRST, "--fault", f"fog@{HERE}", "--contrast", HERE, "--next", HERE, "--scan", HERE),
    ("log", "rate", FIRST, "--detail", f"key={HERE}"),
    ("log", "rate", FIRST, "--detail", f"{HERE}=value"),
    ("log", "rate", FIRST, "--picture", HERE),
    ("log", "rate", FIRST, "--stars", HERE),
    ("log", "rate", FIRST, "--stars", "3", "--corrects", "1", "--reason", HERE),
    ("log", "compare", FIRST, HERE),
    ("log", "move", FIRST, HERE, "--by", "5s"),
    ("log", "move", FIRST, "drain", f"--by={HERE}"),
    ("log", "trends", HERE),
    ("log", "trends", "--json"),
    ("log", "look", HERE),
    ("log", "check"),
    ("log", "reindex"),
    ("log", "export", "jsonl", HERE, "--to", "out.jsonl", "--force"),
    ("log", "export", "csv", FIRST, "--to", f"out-{HERE}.csv", "--force"),
    ("log", "export", "jsonl", "--all", "--to", f"out-{HERE}.jsonl", "--force"),
    ("log", "export", "html", "--find", HERE, "--to", "out.html", "--force"),
    ("log", "export", "html", "--all", "--to", f"out-{HERE}.html", "--force"),
    ("log", "export", "labels", "--all", "--to", "labels.html", "--force"),
    ("log", "export", "xmp", "--all", "--to", f"folder-{HERE}", "--force"),
    ("log", "export", HERE, FIRST, "--to", "out"),
    ("log", "export", "csv", "--day", HERE, "--to", "out.csv"),
    ("exposure", "from-plate", HERE),
    ("exposure", "from-plate", FIRST, "--light", HERE, "--f", "8"),
    ("exposure", "from-plate", FIRST, "--f", HERE),
    ("exposure", "from-plate", FIRST, f"--extension={HERE}"),
    ("exposure", "from-meter", "--speed", HERE, "--f", "8", "--ev", "10"),
    ("exposure", "from-meter", "--speed", "1", "--f", "8", f"--lux={HERE}"),
    ("exposure", "from-sun", "--place", HERE),
    ("exposure", "from-sun", "--latitude", "52", "--longitude", "5", "--at", HERE),
    ("exposure", "steps", f"--first={HERE}"),
    ("exposure", "stop", "--focal", "12in", f"--diameter={HERE}"),
    ("exposure", "bellows", f"--magnification={HERE}"),
    ("strength", HERE, "--percent", "9"),
    ("strength", "silver-nitrate", f"--density={HERE}", f"--at={HERE}"),
    ("strength", "silver-nitrate", "--percent", "8", f"--to={HERE}", "--volume", "1L"),
    ("strength", "silver-nitrate", "--percent", "8", "--to", "9", f"--volume={HERE}", "--json"),
    ("strength", "hypo", "--percent", "50", f"--dilute={HERE}", "--volume", "1L"),
    ("mix",),
    ("mix", HERE),
    ("mix", "silver-bath"),
    ("mix", "hypo", "--make", HERE),
    ("mix", "hypo", "--with", f"hypo={HERE}"),
    ("mix", "hypo", "--with", f"{HERE}=5g"),
    ("mix", "--check", HERE),
    ("process", "list"),
    ("process", "list", "--json"),
    ("process", "show", HERE),
    ("process", "show", "clear-glass"),
    ("process", "check", HERE, f"./{HERE}.yaml"),
    ("process", "check", "--json", f"{HERE}.yaml"),
    ("process", "times", HERE),
    ("process", "times", "tintype", "--temperature", HERE),
    ("process", "times", "tintype", "--humidity", HERE),
    ("bench", HERE),
    ("bench", "clear-glass", "--subject", HERE, "--exposure", HERE),
    ("rehearse", "clear-glass", "--temperature", HERE),
    ("day", "--begin", HERE),
    ("day", "--begin", "--note", HERE),
    ("day", "--json"),
    ("day",),
    ("sound", "list", "--folder", HERE),
    ("sound", "play", HERE),
    ("ready", "--sys", HERE),
    ("--help",),
    ("log", "--help"),
)
"""Every command, with the odd word in each place for a word."""


def command(words: tuple[str, ...], odd: bytes) -> list[bytes]:
    """Return a command with the odd word in its place."""
    return [word.encode().replace(HERE.encode(), odd) if HERE in word else word.encode() for word in words]
