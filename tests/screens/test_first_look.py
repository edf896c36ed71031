"""What is asked of the log while the first screen is looked at is asked after that, in order, once."""

from __future__ import annotations

from darkroom.screens.first_look import FirstLook


def test_what_is_asked_early_waits_and_what_is_asked_later_does_not() -> None:
    """Before the look is over nothing is asked; then all in order; a second end asks nothing again."""
    asked: list[str] = []
    look = FirstLook()
    look.ask(lambda: asked.append("first"))
    look.ask(lambda: asked.append("second"))
    assert asked == []
    look.over()
    assert asked == ["first", "second"]
    look.ask(lambda: asked.append("third"))
    look.over()
    assert asked == ["first", "second", "third"]


def test_what_is_asked_by_an_answer_is_asked_at_once() -> None:
    """Who asks again while the waiting questions are asked need not wait."""
    asked: list[str] = []
    look = FirstLook()
    look.ask(lambda: look.ask(lambda: asked.append("again")))
    look.over()
    assert asked == ["again"]
