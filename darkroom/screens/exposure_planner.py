"""The exposure of the plate to come: what the form's scene is, and what the judged plates propose for it.

The log is read and learned from in a thread: nothing waits for it.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace

from darkroom.bench.working_day import working_day
from darkroom.errors import DarkroomError
from darkroom.process.model import Process
from darkroom.process.scene import ProposedExposure, Scene
from darkroom.screens.notices import Notices
from darkroom.session.plate_form import PlateForm, celsius

if TYPE_CHECKING:
    from darkroom.exposure.judged import Conditions
    from darkroom.exposure.kit import Kit
    from darkroom.exposure.learned import Learned
    from darkroom.log.catalogue.judged_plates import JudgedPlates

DRIFT = 0.1
"""So many stops of another EV ask for no other proposal."""


class ExposurePlanner:
    """Knows the kit, and what was learned last; before the first answer it knows nothing.

    `now_at` gives the instant as RFC 3339 text with its offset, `developer` the latest reading of the
    developer's temperature in °C or None, `made` the date on which the collodion of a form was made.
    """

    def __init__(
        self,
        home: Path,
        now_at: Callable[[], str],
        notices: Notices,
        developer: Callable[[], float | None] = lambda: None,
        made: Callable[[PlateForm], str | None] = lambda form: None,
    ) -> None:
        self.home, self._now_at, self._notices = home, now_at, notices
        self._developer, self._made = developer, made
        self._kit: tuple[object, Kit] | None = None
        self._known: tuple[Conditions, Learned] | None = None
        self._wanted: tuple[Conditions, Callable[[], None]] | None = None
        self._plates: tuple[int, JudgedPlates | None] = (0, None)
        self._edition = 0
        """Counts how often the log was to be read anew."""
        self._lock = threading.Lock()
        self._running = False

    # --- the kit and the scene --------------------------------------------------------------------

    @property
    def kit(self) -> Kit:
        """The photographer's kit as its file is now; one that is wrong is said quietly and counts as none."""
        from darkroom.exposure.kit import Kit

        path = self.home / "kit.yaml"
        try:
            state: object = path.stat().st_mtime_ns
        except OSError:
            state = None
        if self._kit is None or self._kit[0] != state:
            kit, trouble = Kit(), None
            if state is not None:
                from darkroom.settings import kit as kit_file

                kit, problems = kit_file.load_right(path)
                told = str(problems[0]).replace(str(path), path.name, 1) if problems else ""
                trouble = f"{told} (left out)" if told else None
            self._notices.say("kit", trouble)
            self._kit = state, kit
        return self._kit[1]

    def scene(self, form: PlateForm) -> Scene | None:
        """Return what the form says of light and lens now; None where it says nothing or cannot be read."""
        from darkroom.session.plate_scene import scene_of

        try:
            return scene_of(form, self.kit, datetime.fromisoformat(self._now_at()))
        except DarkroomError:  # the form tells what is wrong with a field
            return None

    def mistakes(self, form: PlateForm) -> dict[str, str]:
        """Return {field: what is wrong} for what the form says of light and lens, each readable by itself."""
        from darkroom.session.plate_scene import mistakes

        return mistakes(form, self.kit)

    def remarks(self, form: PlateForm, under_hand: str) -> dict[str, str]:
        """Return {field: remark} for names in the form that are nearly known ones, or places of nowhere."""
        from darkroom.session.name_remarks import name_remarks

        plates = self._plates[1]
        made = () if plates is None else [each.conditions for each in plates.plates]
        return name_remarks(form, self.kit, made, under_hand)

    def conditions(self, form: PlateForm, process: Process) -> Conditions:
        """Return what the exposure of the form's plate depends on."""
        from darkroom.session.plate_scene import conditions_of

        typed = form.temperatures.get("developer", "")
        try:
            developer = celsius(typed) if typed.strip() else self._developer()
        except DarkroomError:
            developer = None
        day = working_day(self._now_at())
        return conditions_of(form, process.name, self.scene(form), day, developer, self._made(form))

    def members(self, form: PlateForm, process: Process) -> tuple[Scene | None, ProposedExposure | None]:
        """Return what a plate's first line says of its scene, and of what was proposed for it."""
        from darkroom.session.exposure_proposal import proposed_exposure

        learned = None if self._known is None else self.of(self.conditions(form, process))
        return self.scene(form), None if learned is None else proposed_exposure(learned)

    # --- what the plates propose ------------------------------------------------------------------

    @property
    def known(self) -> bool:
        """Whether anything was learned."""
        return self._known is not None

    def of(self, conditions: Conditions) -> Learned | None:
        """Return what was learned for these conditions, None while that is not known."""
        known = self._known
        return known[1] if known is not None and _are_alike(known[0], conditions) else None

    def forget(self) -> None:
        """Forget what was learned: a plate was judged since, and the next question reads the log anew."""
        with self._lock:
            self._known = None
            self._edition += 1

    def ask(
        self,
        conditions: Conditions,
        deliver: Callable[[Callable[[], None]], None],
        on_known: Callable[[], None],
        *,
        again: bool = False,
    ) -> None:
        """Learn for these conditions; `on_known` is called on the screen's thread when that is done.

        The newest question is answered, older ones are left. `again` reads the log anew.
        """
        with self._lock:
            if again:
                self._edition += 1
            elif self.of(conditions) is not None or (self._wanted and self._wanted[0] == conditions):
                return
            self._wanted = conditions, lambda: deliver(on_known)
            if self._running:
                return
            self._running = True
        threading.Thread(target=self._learn, name="exposure", daemon=True).start()

    def _learn(self) -> None:
        try:
            while self._learn_once():
                pass
        except Exception as error:  # a plate can be made without a proposal
            self._notices.say("exposure", f"no exposure is proposed: {error}")
            with self._lock:
                self._wanted, self._running = None, False

    def _learn_once(self) -> bool:
        """Answer the newest question; return whether there was one."""
        from darkroom.exposure.learning import learn
        from darkroom.log.catalogue.judged_plates import judged_plates

        with self._lock:
            wanted, edition, (read, plates) = self._wanted, self._edition, self._plates
            self._running = wanted is not None
        if wanted is None:
            return False
        if plates is None or read != edition:
            plates = judged_plates(self.home)
            self._plates = edition, plates
        self._notices.say("exposure", plates.trouble)
        if plates.trouble is not None:  # half a log is never told for all of it
            with self._lock:
                if self._wanted is wanted:
                    self._known, self._wanted, self._plates = None, None, (0, None)
            return True
        conditions, tell = wanted
        learned = learn(plates.plates, conditions, plates.left_out)
        with self._lock:
            is_newest = self._wanted is wanted and self._edition == edition
            if is_newest:
                self._known, self._wanted = (conditions, learned), None
        if is_newest:
            tell()
        return True


def _are_alike(one: Conditions, other: Conditions) -> bool:
    """Return whether two conditions are one: the sun's light drifts, the proposal does not."""
    drifted = one.ev is not None and other.ev is not None and abs(one.ev - other.ev) <= DRIFT
    return replace(one, ev=other.ev) == other if drifted else one == other
