"""Which sound has the one voice of the bench at each instant. No clock, no device: time is an argument.

Two cues never sound together. The higher rank sounds; the lower waits as long as it stays true and
is dropped, and reported, after that. Words come after their cue, in the gaps between other cues. What a hand
asked for, an answer or what is told, is said in one piece, and so is any word that no gap between pips holds:
the pips and counted seconds that fall into it are left out. A caution gives way to everything else that is
said, and is said again whole where it was cut off; whether it was said to its end is reported.
"""

from __future__ import annotations

import heapq
import itertools
import math
from collections import deque
from collections.abc import Callable, Iterable
from typing import Any

from darkroom.devices.sound.cue_names import CAUTION, LATEST, RATE, WORDS_ALONE
from darkroom.devices.sound.messages import Call
from darkroom.devices.sound.phrases import Phrase, Playing
from darkroom.devices.sound.sound_files import Library

Report = Callable[[str, dict[str, Any]], None]

ANSWERS = ("accepted", "refused")
ASKED = ("say", "repeat")
"""What ends the words that were asked for before, when it is to be said now."""
SAME = 0.4
"""A call that comes again this near to one that has sounded is the same call, moved a little."""
REMEMBERED = 60.0
"""For so long a call that has sounded is known, in seconds."""
ANSWER_WORDS, CALL_WORDS, WORDS = 2.5, 5.0, {CAUTION: 20.0}
"""So long after their cue the first word of an answer, of a call, or of a caution, may begin."""
REST = 1.5
"""So long after a word its phrase may wait for room for the next: a cue, and what did not fit before it."""
TOLD = 0.1
"""A cue that comes later than this, but not because another had the voice, is reported, in seconds."""
FIT = 0.02
"""Silence left between a word and the next cue, in seconds."""
HALF_FRAME = 0.5 / RATE


class _Waiting:
    """A call that is not due yet; of two, the one that is due first, then the one of the higher rank."""

    __slots__ = ("at", "call", "now", "order")

    def __init__(self, at: float, order: tuple[int, int], call: Call, now: bool) -> None:
        self.at, self.order, self.call, self.now = at, order, call, now

    def __lt__(self, other: _Waiting) -> bool:
        return (self.at, self.order) < (other.at, other.order)


class Scheduler:
    """Takes cue sets and single cues; says at each instant what is sounding.

    `post` may be called from any thread; all else belongs to the output's own thread.
    """

    def __init__(self, library: Library, report: Report, silent: Iterable[str] = ()) -> None:
        """`report(kind, what)` hears of calls that came late or were dropped; `silent` are not sounded."""
        self.library, self.report, self.silent = library, report, frozenset(silent)
        self.inbox: deque[Call | tuple[int, float, list[Call]]] = deque()
        self.playing: Playing | None = None
        self.phrases: list[Phrase] = []
        self._waiting: list[_Waiting] = []
        self._handled: dict[Call, float] = {}
        self._revision = 0
        self._order = itertools.count()

    # --- what comes in -----------------------------------------------------------------------

    def post_set(self, revision: int, since: float, calls: list[Call]) -> None:
        """Replace everything that is due after `since` by these calls, unless a newer set is here."""
        self.inbox.append((revision, since, calls))

    def post_now(self, call: Call) -> None:
        """Play a call at once."""
        self.inbox.append(call)

    def _read_inbox(self, now: float) -> None:
        while self.inbox:
            message = self.inbox.popleft()
            if isinstance(message, Call):
                self._take_now(message)
            else:
                self._take_set(*message, now)

    def _take_now(self, call: Call) -> None:
        if call.name in ANSWERS or call.name in ASKED:
            self._silence_for(call)
        self._push(_Waiting(call.up, (-call.rank, next(self._order)), call, True))

    def _silence_for(self, answer: Call) -> None:
        """A key was struck: what called for it is over, and so is the answer before it.

        Words that are asked for end only what was asked for before.
        """

        def over(call: Call, phrase: Phrase | None) -> bool:
            if phrase is not None and phrase.asked:
                return True
            if answer.name in ASKED:
                return False
            return call.name in ANSWERS or (answer.plate is not None and call.plate == answer.plate)

        self.phrases = [phrase for phrase in self.phrases if not over(phrase.call, phrase)]
        playing = self.playing
        if playing is not None and over(playing.call, playing.word_of):
            self.playing = None

    def _take_set(self, revision: int, since: float, calls: list[Call], now: float) -> None:
        if revision <= self._revision:
            return
        self._revision = revision
        wanted = set(calls)
        known = {waiting.call for waiting in self._waiting}
        self._waiting = [
            waiting
            for waiting in self._waiting
            if waiting.now or waiting.call in wanted or waiting.call.up <= since
        ]
        heapq.heapify(self._waiting)
        moved = [done for done in self._handled if done not in wanted and done.up > now - 2 * SAME]
        for call in dict.fromkeys(calls):
            if call in known or call in self._handled:
                continue
            if any(call.like(done) and abs(call.up - done.up) < SAME for done in moved):
                continue
            self._push(_Waiting(call.up, (-call.rank, next(self._order)), call, False))
        self._cancel(wanted, since)
        self._handled = {done: at for done, at in self._handled.items() if at > now - REMEMBERED}

    def _cancel(self, wanted: set[Call], since: float) -> None:
        """Silence what has begun but should not have: it was due after `since` and is not wanted."""

        def gone(call: Call) -> bool:
            same = (other for other in wanted if other.like(call) and abs(other.up - call.up) < SAME)
            return call.up > since and call in self._handled and not any(same)

        self.phrases = [phrase for phrase in self.phrases if not gone(phrase.call)]
        if self.playing is not None and gone(self.playing.call):
            self.playing = None

    def _push(self, waiting: _Waiting) -> None:
        heapq.heappush(self._waiting, waiting)

    # --- what goes on ------------------------------------------------------------------------

    def due(self) -> float:
        """Return the next instant at which `advance` may change something; infinity when at rest."""
        if self.inbox:
            return -math.inf
        next_cue = self._waiting[0].at if self._waiting else math.inf
        if self.playing is not None:
            return next_cue
        return min([next_cue, *(phrase.since for phrase in self.phrases)])

    def look_ahead(self, now: float) -> float:
        """Take what has come in, and return the next instant that something is due; nothing begins.

        For the one who keeps the schedule while no output takes from it.
        """
        self._read_inbox(now)
        return self.due()

    def advance(self, now: float) -> None:
        """Do everything that is due at `now`."""
        self._read_inbox(now)
        while self._waiting and self._waiting[0].at <= now + HALF_FRAME:
            self._begin(heapq.heappop(self._waiting), now)
        if self.playing is None and self.phrases:
            self._speak(now)

    def finish(self) -> None:
        """The output has played the last sample of what was playing."""
        playing, self.playing = self.playing, None
        if playing is not None and playing.call.name == CAUTION:
            phrase = playing.word_of
            if phrase is not None and not phrase.words:
                self.report("said", {"cue": playing.call.as_plain()})

    def _begin(self, waiting: _Waiting, now: float) -> None:
        call = waiting.call
        late = now - call.up
        if not waiting.now:
            self._handled[call] = now
        if late > LATEST:
            self.report("dropped", {"cue": call.as_plain(), "seconds": round(late, 3), "why": "late"})
            return
        playing = self.playing
        if call.name == "repeat" and self._says_more_than_cautions():
            self.report("dropped", {"cue": call.as_plain(), "why": "another is said"})
            return
        silent = call.name in WORDS_ALONE or call.name in self.silent
        samples = None if silent else self.library.cue(call.name, call.urgency)
        if samples is None:
            self._say(call, now, waiting.now)
            return
        if playing is not None and playing.goes_before_pips and _gives_way(call):
            self.report("dropped", {"cue": call.as_plain(), "why": "words go before it"})
            return
        if playing is not None and playing.word_of is not None:
            self._put_back(playing, now)
        elif playing is not None and playing.call.rank >= call.rank and playing.end > now + HALF_FRAME:
            if playing.end - call.up <= call.wait:
                self._push(_Waiting(playing.end, (-call.rank, next(self._order)), call, waiting.now))
                return
            self._dropped(call, playing.call)
            self._say(call, playing.end)
            return
        elif playing is not None and playing.end - now > 0.01:
            self._dropped(playing.call, call)
        self.playing = Playing(call, samples, now)
        if late > TOLD and waiting.at == call.up:
            self.report("late", {"cue": call.as_plain(), "seconds": round(late, 3)})
        self._say(call, now)

    def _put_back(self, playing: Playing, now: float) -> None:
        """A cue cuts a word off: the word is said again after it."""
        phrase = playing.word_of
        assert phrase is not None
        phrase.words.appendleft(playing.samples)
        phrase.since, phrase.latest = now, max(phrase.latest, now + ANSWER_WORDS)
        if phrase not in self.phrases:
            self.phrases.insert(0, phrase)
        self.phrases.sort(key=lambda phrase: phrase.call.name == CAUTION)

    def _says_more_than_cautions(self) -> bool:
        phrases = [*self.phrases, self.playing.word_of if self.playing is not None else None]
        return any(phrase is not None and phrase.call.name != CAUTION for phrase in phrases)

    def _dropped(self, lower: Call, higher: Call) -> None:
        self.report("dropped", {"cue": lower.as_plain(), "why": "overlap", "by": higher.name})

    def _say(self, call: Call, now: float, asked: bool = False) -> None:
        if not call.say or "say" in self.silent:
            return
        words = self.library.words(call.say)
        if call.name != CAUTION:
            # what comes again by itself is no matter beside a call
            self.phrases = [phrase for phrase in self.phrases if phrase.call.name != "repeat"]
            self._cut_caution(now)
        if not words:
            return
        counted = not asked and _is_counted(call)
        answer = call.name in ANSWERS
        allowed = LATEST if counted else ANSWER_WORDS if answer else WORDS.get(call.name, CALL_WORDS)
        asked = asked and call.name in ASKED
        self.phrases.append(Phrase(call, deque(words), now, now + allowed, answer, asked, counted))
        self.phrases.sort(key=lambda phrase: phrase.order)

    def _cut_caution(self, now: float) -> None:
        if (
            self.playing is not None
            and self.playing.word_of is not None
            and self.playing.call.name == CAUTION
        ):
            self._put_back(self.playing, now)
            self.playing = None

    def _speak(self, now: float) -> None:
        """Begin the first word that ends before the next cue that does not give way to it."""
        while self.phrases:
            phrase = self.phrases[0]
            word = phrase.words[0]
            goes_before = phrase.goes_before_pips(word)
            limits = (one.at for one in self._waiting if not (goes_before and _gives_way(one.call)))
            free_until = min(limits, default=math.inf)
            if now > phrase.latest:
                self.phrases.pop(0)
                self.report("dropped", {"cue": phrase.call.as_plain(), "why": "no room for the words"})
                continue
            if now + len(word) / RATE + FIT > free_until:
                for waiting_phrase in self.phrases:
                    waiting_phrase.since = max(waiting_phrase.since, free_until)
                return
            phrase.words.popleft()
            phrase.begun = True
            rest = LATEST if phrase.counted else REST
            phrase.latest = max(phrase.latest, now + rest + len(word) / RATE)
            if not phrase.words:
                self.phrases.pop(0)
            self.playing = Playing(phrase.call, word, now, phrase)
            return


def _is_counted(call: Call) -> bool:
    """Whether a call of a set is a second counted aloud."""
    return call.name == "say" and len(call.say) == 1 and call.say[0].isdigit()


def _gives_way(call: Call) -> bool:
    """Whether a call tells no more than a second, and is left out where words go before it."""
    return call.name == "pip" or _is_counted(call)
