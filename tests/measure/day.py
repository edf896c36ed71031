"""One simulated day at the bench: is the boot clock's whole second on every frame?

The clock is set by hand: a plate counts up from its coating all day, with a sleep of 30 minutes, steps
of the wall clock by an hour either way, and stalls of 5 s. A frame is wrong when the time drawn on it
is not the whole second of the boot clock since the plate's stage began, at the instant of the frame.
"""

from __future__ import annotations

from tests.measure import measure as m

DAY = 86_400.0


def measure(short: bool = False, argv: object = None) -> list[m.Row]:
    """Live through a day (two hours when short), drawing at each change of the second."""
    from darkroom.bench import intents as want
    from darkroom.bench.view import bench_view
    from darkroom.devices.clock import Watch
    from darkroom.process.text.durations import show_elapsed
    from darkroom.screens.bench.layout import face
    from darkroom.screens.bench.rail import BenchStatus
    from darkroom.screens.next_change import LONGEST_SLEEP, next_second
    from darkroom.screens.widgets.plate_summary import time_text
    from darkroom.session.session import Session
    from darkroom.session.strikes import Recogniser
    from tests.kit.bench import start
    from tests.kit.clocks import HandClock
    from tests.kit.session import MemoryJournal, SilentVoice

    clock = HandClock()
    session = Session(
        clock=clock,
        watch=Watch(clock),
        writer=MemoryJournal(),
        voice=SilentVoice(),
        recogniser=Recogniser({"space": "go"}.get),
        new_id=lambda wall: "plate1",
        next_number=lambda bench: 1,
    )
    session.put_on(start(up=clock.up()))
    session.intend(want.Go(plate="plate1", number=1))
    begun = clock.up()
    length = 7_200.0 if short else DAY
    events = [
        (length * share, kind)
        for share, kind in (
            (0.1, "stall"),
            (0.2, "sleep"),
            (0.35, "ahead"),
            (0.5, "back"),
            (0.6, "stall"),
            (0.8, "stall"),
        )
    ]
    frames = wrong = 0
    while clock.up() - begun < length:
        if events and clock.up() - begun >= events[0][0]:
            kind = events.pop(0)[1]
            if kind == "sleep":
                clock.move(1800.0, asleep=True)
            elif kind == "stall":
                clock.move(5.0)
            else:
                clock.wall_now += 3600.0 if kind == "ahead" else -3600.0
        session.tick()
        now = session.now()
        view = bench_view(session.bench, now)
        assert view.large is not None
        right = show_elapsed(int(now - begun + 1e-9))
        frames += 1
        wrong += time_text(view.large) != right
        if frames % 500 == 0:
            face(view, BenchStatus(), 80, 24)
        clock.move(min(LONGEST_SLEEP * 4, next_second(view.large)))
    return [m.Row("wrong frames in a simulated day", float(wrong), None, 0.4, "", f"of {frames} frames")]


if __name__ == "__main__":
    for row in measure():
        print(row)
