"""Makes the spoken set: `python -m darkroom.commands.make_words [FOLDER] [--voice VOICE] [WORD ...]`.

Needs espeak-ng. Without words the whole set is made: what lacks a recording gets one, a recording of what is
not spoken is removed, and with `--all` every recording is made anew. With words only those are made, as for
the stages and verbs of a process of your own, into the folder `voice` of a set of your own.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from darkroom import resources
from darkroom.devices.sound import espeak
from darkroom.devices.sound.cue_names import slug
from darkroom.devices.sound.make_cues import write
from darkroom.devices.sound.sound_files import shipped
from darkroom.errors import NotReadable
from darkroom.session import vocabulary


def shipped_texts() -> dict[str, str]:
    """Return {what a recording of the shipped set says: the text that is spoken for it}."""
    return vocabulary.texts(map(resources.read_process, resources.shipped_processes()))


def main(argv: list[str]) -> int:
    """Make the set, or some words of it."""
    parser = argparse.ArgumentParser(description="Make the spoken set with espeak-ng.")
    parser.add_argument("folder", nargs="?", type=Path, default=shipped() / "voice")
    parser.add_argument("word", nargs="*", help="only these words")
    parser.add_argument("--voice", default="en-gb", help="a voice of espeak-ng")
    parser.add_argument("--speed", type=int, default=175, help="words a minute")
    parser.add_argument("--all", action="store_true", help="make anew what is there already")
    chosen = parser.parse_args(argv)
    texts = {word: vocabulary.SAID.get(word, word) for word in chosen.word} or shipped_texts()
    files = {chosen.folder / f"{slug(name)}.wav": text for name, text in texts.items()}
    chosen.folder.mkdir(parents=True, exist_ok=True)
    if not chosen.word:
        for path in set(chosen.folder.glob("*.wav")) - set(files):
            path.unlink()
    made = 0
    for path, text in files.items():
        if path.is_file() and not (chosen.all or chosen.word):
            continue
        try:
            samples = espeak.speak(text, chosen.voice, chosen.speed)
        except NotReadable as error:
            print(error, file=sys.stderr)
            return error.exit_status
        write(path, samples, espeak.SET_RATE)
        made += 1
    size = sum(path.stat().st_size for path in files)
    print(f"{made} of {len(files)} recordings made in {chosen.folder}; together {size / 1e6:.1f} MB")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
