"""Work moved by hand on the board: live while a bar is dragged, one step of undo when it is let go."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from time import perf_counter
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer
from PySide6.QtGui import QUndoCommand, QUndoStack

from app.board.clock import span
from app.board.ribbons import runs_of
from app.board.view import BoardView
from app.hand_moves import Move, all_moved_to, are_legal, together, touching, visit_of
from app.session import Session, with_placed
from app.tasks import Asker
from planner.findings import Finding

if TYPE_CHECKING:
    from app.window import MainWindow

_SLICE_S = 0.006
"""How long the window may be kept at a time while legal starts are looked for."""
_SHOW_S = 0.06
"""How long found starts wait to be drawn together."""
Show = Callable[[Session, str, bool], None]
"""Shows a session, says how it came, and whether that was back or forth among steps made before."""


class ShowSession(QUndoCommand):
    """Shows `after`; undone, `before`: two frozen snapshots."""

    _is_done = False

    def __init__(self, words: str, before: Session, after: Session, show: Show) -> None:
        super().__init__(words)
        self.before, self.after, self._show = before, after, show

    def redo(self) -> None:
        name = self.text()
        words = f"Done again: {name}" if self._is_done else f"{name[:1].upper()}{name[1:]}"
        self._show(self.after, words, self._is_done)
        self._is_done = True

    def undo(self) -> None:
        self._show(self.before, f"Taken back: {self.text()}", True)


class Mover(QObject):
    """Moves visits of the window's plan; the whole audit and the advice follow off the window's thread."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self.stack = QUndoStack(self)
        self.asker = Asker(self)
        self.asker.answered.connect(self._settled)
        self.asker.failed.connect(window.tell)
        self._from: Session | None = None
        self._live: Session | None = None
        self._held: tuple[tuple[str, int], ...] = ()
        self._moves: tuple[Move, ...] = ()
        self._touched: tuple[Finding, ...] | None = None
        self._starts: list[int] = []
        self._legal: set[int] = set()
        self._lit_at = 0.0
        self._search = QTimer(self, interval=0)
        self._search.timeout.connect(self._look_for_starts)

    def attach(self, board: BoardView) -> None:
        """Listen to a new board; what was done to the last job can't be undone any more."""
        self.clear()
        board.gripped.connect(self._grip)
        board.dragged.connect(self._drag)
        board.dropped.connect(self._drop)
        board.let_go.connect(self._let_go)
        board.nudged.connect(self.nudge)

    def clear(self) -> None:
        """Forget all steps and what is going on."""
        self._search.stop()
        self.asker.forget()
        self._from = self._live = None
        self.stack.clear()

    def close(self) -> None:
        """End everything; the window shuts."""
        self.clear()
        self.asker.close()

    def push(self, words: str, before: Session, after: Session) -> None:
        """Make a change a step of undo; `after` is shown."""
        self.stack.push(ShowSession(words, before, after, self._show))

    def change_all(self, change: Callable[[Session], Session]) -> None:
        """Change the sessions of all steps in the same way, because the job's file has another name."""
        self.asker.forget()
        for number in range(self.stack.count()):
            command = self.stack.command(number)
            if isinstance(command, ShowSession):
                command.before, command.after = change(command.before), change(command.after)

    def put(self, before: Session, after: Session) -> None:
        """Put a session in another's place in all steps, because more is known about it."""
        for number in range(self.stack.count()):
            command = self.stack.command(number)
            if isinstance(command, ShowSession):
                command.before = after if command.before is before else command.before
                command.after = after if command.after is before else command.after

    @property
    def is_at_work(self) -> bool:
        """Whether a bar is being dragged, or a step is still being audited."""
        return self._from is not None or self.asker.busy

    def nudge(self, key: str, number: int, slots: int) -> None:
        """Move a visit by some slots."""
        session = self._window.session
        visit = visit_of(session, key, number) if session is not None else None
        if session is None or visit is None:
            return
        moves = together(session, self._group(key, number), slots)
        if moves[0][2] != visit.start:
            self._take_step(session, all_moved_to(session, moves), moves)

    def _group(self, key: str, number: int) -> tuple[tuple[str, int], ...]:
        """Return the visits that move with one: all that are chosen, where it is one of them; it comes first."""
        board = self._window.board
        chosen = board.chosen if board is not None else ()
        rest = [one for one in chosen if one != (key, number)] if (key, number) in chosen else []
        return ((key, number), *rest)

    # --- dragging

    def _grip(self, key: str, number: int) -> None:
        self._from = self._live = self._window.session
        self._held, self._legal, self._touched = self._group(key, number), set(), None
        visit = visit_of(self._from, key, number) if self._from is not None else None
        if self._from is None or visit is None:
            return
        last = self._from.facts.horizon - (visit.finish - visit.start)
        self._starts = sorted(range(last + 1), key=lambda slot: -abs(slot - visit.start))
        self._search.start()

    def _drag(self, key: str, number: int, start: int) -> None:
        if self._from is None:
            return
        visit = visit_of(self._from, key, number)
        assert visit is not None
        self._moves = together(self._from, self._held, start - visit.start)
        if self._touched is None:
            self._touched = touching(self._from, dict.fromkeys(key for key, _ in self._held))
        self._live = all_moved_to(self._from, self._moves, self._touched)
        self._window.show_live(self._live)
        self._window.details.show_live(self._live)
        facts, (_, _, at) = self._live.facts, self._moves[0]
        self._window.tell(span(facts.time, at, at + visit.finish - visit.start))

    def _drop(self) -> None:
        before, live = self._from, self._live
        self._end_drag()
        if before is not None and live is not None and live is not before and before is self._window.session:
            self._take_step(before, live, self._moves)

    def _let_go(self) -> None:
        """Put the bar back where it was gripped."""
        before, live = self._from, self._live
        self._end_drag()
        if before is not None and live is not before:
            self._show(before, "", False)

    def _end_drag(self) -> None:
        self._search.stop()
        self._from = self._live = None
        if self._window.board is not None:
            self._window.board.set_lit(())

    def _look_for_starts(self) -> None:
        """Try the nearest starts first, a few at a time, and light up those that break nothing."""
        session, held = self._from, self._held
        at = visit_of(session, *held[0]) if session is not None else None
        until = perf_counter() + _SLICE_S
        while session is not None and at is not None and self._starts and perf_counter() < until:
            start = self._starts.pop()
            moves = together(session, held, start - at.start)
            if moves[0][2] == start and are_legal(session, moves):
                self._legal.add(start)
        if not self._starts or session is None:
            self._search.stop()
        if self._window.board is not None and (not self._search.isActive() or until > self._lit_at + _SHOW_S):
            self._lit_at = until
            self._window.board.set_lit(runs_of(self._legal))

    # --- steps

    def _take_step(self, before: Session, after: Session, moves: Sequence[Move]) -> None:
        key = moves[0][0]
        operation = after.operation(key)
        what = f"{len(moves)} visits" if len(moves) > 1 else operation.name if operation else key
        self.push(f"move of {what}", before, after)
        plan = after.plan
        assert plan is not None
        self.asker.ask(lambda: with_placed(after, plan))

    def _show(self, session: Session, words: str, goes_back: bool) -> None:
        self.asker.forget()
        self._window.runs.note_step(goes_back=goes_back)
        self._window.take(session)
        self._window.say_plan()
        self._window.tell(words)

    def _settled(self, session: Session) -> None:
        """Take the whole audit's word, and the advice, for the step that was made last."""
        command = self.stack.command(self.stack.index() - 1)
        if isinstance(command, ShowSession) and self._window.session is command.after:
            command.after = session
            self._window.take(session)
            self._window.say_plan()
