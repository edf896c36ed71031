"""The first page of the list is asked for before there is a screen, and shown as soon as there is one."""

from __future__ import annotations

import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from darkroom.log.catalogue import service
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.service import FillProgress, PageRequest, ResultPage
from darkroom.screens.app import Tool
from darkroom.screens.log_list.first_page import FirstPage, first_request
from tests.kit.review_hand import Looker, looking

pytestmark = pytest.mark.usefixtures("settled")


class Screen:
    """Takes what a screen would."""

    def __init__(self) -> None:
        self.pages: list[ResultPage] = []
        self.progress: list[FillProgress] = []
        self.troubles: list[str] = []
        self.threads: list[str] = []

    def take_page(self, page: ResultPage, anew: bool) -> None:
        """Take plates."""
        self.threads.append(threading.current_thread().name)
        self.pages.append(page)

    def take_progress(self, progress: FillProgress) -> None:
        """Take how the reading goes."""
        self.progress.append(progress)

    def take_trouble(self, text: str) -> None:
        """Take why a question is not answered."""
        self.troubles.append(text)


def asked_early(home: Path, text: str = "") -> FirstPage:
    """Ask, and wait until the answer is there."""
    early = FirstPage(home, first_request(text, 24))
    until = time.monotonic() + 20
    while not early._waiting:
        assert time.monotonic() < until
        time.sleep(0.01)
    return early


def test_the_answer_waits_for_the_screen(home: Path, plates: list[Path]) -> None:
    """What was answered before is taken when the screen attaches, on its thread; later answers follow."""
    with Catalogue(home) as catalogue:
        catalogue.check()
    early, screen = asked_early(home, "ferns"), Screen()
    assert screen.pages == []
    early.attach(lambda callback: callback(), screen)
    assert [page.query.words for page in screen.pages] == ["ferns"]
    assert screen.threads == [threading.current_thread().name]
    early.service.ask(PageRequest(screen.pages[0].query, 0, 5))
    until = time.monotonic() + 20
    while len(screen.pages) < 2 or not screen.progress:
        assert time.monotonic() < until
        time.sleep(0.01)
    early.service.close()


def test_what_is_wrong_is_told_too(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An error before there is a screen is told once there is one."""

    def broken(self: Catalogue, *_: object) -> int:
        raise RuntimeError("the catalogue broke")

    monkeypatch.setattr(Catalogue, "count", broken)
    early, screen = asked_early(home), Screen()
    early.attach(lambda callback: callback(), screen)
    assert any("the catalogue broke" in text for text in screen.troubles)
    early.service.close()


def test_the_list_shows_the_first_page_and_asks_no_second_time(
    home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The early page is just the one that the screen wants: one question in all."""
    with Catalogue(home) as catalogue:
        catalogue.check()
    asked: list[PageRequest] = []
    answer = service._page

    def counted(catalogue: Catalogue, request: PageRequest, totals: tuple[int, int] | None) -> ResultPage:
        asked.append(request)
        return answer(catalogue, request, totals)

    monkeypatch.setattr(service, "_page", counted)
    early = asked_early(home)

    def begin(tool: Tool) -> None:
        tool.services.opening.first_page = early

    async def steps(hand: Looker) -> None:
        await hand.wait("60, newest first")
        await hand.wait(lambda text: "reading" not in text)
        assert asked == [early.request]

    looking(home, steps, begin=begin)


def test_asking_early_needs_no_toolkit() -> None:
    """The module that asks is imported without the toolkit, which is loaded meanwhile."""
    code = "import sys, darkroom.screens.log_list.first_page; sys.exit('textual' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
