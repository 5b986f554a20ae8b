"""The Job set-up view: a list of what the job is made of, a form for the thing chosen, and what belongs beside it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Any

from PySide6.QtWidgets import QMenu, QPushButton, QWidget

from app.board.kit import Kit
from app.elided_label import ElidedLabel
from app.flow import Flow
from app.job_setup.adding import copied, free_id, new_gap, new_operation, new_shift, new_table
from app.job_setup.beside import Beside
from app.job_setup.form import Form
from app.job_setup.items import changes_of, stated
from app.job_setup.lacking import lacking
from app.job_setup.parts import GROUPS, Group, Item, Parts, Path, parts_of, plain
from app.job_setup.refusal_bar import RefusalBar
from app.job_setup.tree import PartsTree
from app.job_setup.trying import Try, told_at, without_blamed
from app.job_view import JobView
from app.layouts import ACROSS, fill_bar, parted, stack_up
from app.session import Session
from app.tasks import Asker
from planner.closures.words import one_line
from planner.errors import JobFileError
from planner.jobfile.load import LoadedJob

_MOST_TRIES = 20
"""Changes asked for that are remembered until it is known whether the job takes them."""
_HINT = "Every change is a step of undo; the job's file is written when you save the job (Ctrl+S)."


class JobSetupView(JobView):
    """Asks the window for every change; a refused one is told at its field, and what was typed stays there."""

    def __init__(self, kit: Kit, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session: Session | None = None
        self.ahead = Asker(self)
        self._made: tuple[LoadedJob, Parts] | None = None
        self.parts: Parts | None = None
        self._key, self._group = "job", "job"
        self._path: Path = ("job",)
        self._wanted: Path | None = None
        self._tries: list[Try] = []
        self._build(kit)
        self._connect()
        self.setAccessibleName("Job set-up")

    # --- parts

    def _build(self, kit: Kit) -> None:
        self.bar = QWidget(objectName="header")
        self.add = QPushButton("&Add", toolTip="Add another of this kind to the job")
        self.shift = QPushButton("Add s&hift", toolTip="Add a shift to this gang")
        self.operation = QPushButton("Add o&peration", toolTip="Add an operation at the end of this method")
        self.gap = QPushButton("Add &gap", toolTip="Add a gap between two operations of this method")
        self.earlier = QPushButton("Ea&rlier", toolTip="Put this operation before the one that is listed before it")
        self.later = QPushButton("&Later", toolTip="Put this operation after the one that is listed after it")
        self.copy = QPushButton("&Copy", toolTip="Add a copy of it, with an id of its own")
        self.remove = QPushButton("&Remove", toolTip="Take it out of the job; undo brings it back")
        self.own = QPushButton("&Take into the job", toolTip="Copy what is built in into the job, to change it")
        self.status = ElidedLabel("status")
        self.status.setText(_HINT)
        row = Flow()
        self.steps = (self.operation, self.gap, self.earlier, self.later)
        for button in (self.add, self.shift, *self.steps, self.copy, self.remove, self.own):
            row.addWidget(button)
        fill_bar(self.bar, row, self.status)
        self.tree, self.form, self.beside = PartsTree(), Form(), Beside(kit)
        self.refusal, middle = RefusalBar(), QWidget()
        stack_up(middle, self.form, self.refusal, grows=self.form)
        split = parted(ACROSS, (self.tree, middle, self.beside), (270, 700, 390), grows=1)
        stack_up(self, self.bar, split, grows=split)

    def _connect(self) -> None:
        self.ahead.answered.connect(self._keep)
        self.tree.chosen.connect(self._choose)
        self.form.changed.connect(self._change)
        self.form.told.connect(self.refusal.setText)
        self.shift.clicked.connect(self.add_shift)
        self.operation.clicked.connect(lambda _checked=False: self.add_to_method("operations"))
        self.gap.clicked.connect(lambda _checked=False: self.add_to_method("gaps"))
        self.earlier.clicked.connect(lambda _checked=False: self.move_operation(-1))
        self.later.clicked.connect(lambda _checked=False: self.move_operation(1))
        self.copy.clicked.connect(self.copy_it)
        self.remove.clicked.connect(self.remove_it)
        self.own.clicked.connect(self.take_in)
        self.add.clicked.connect(lambda _checked=False: self.add_one())

    @property
    def panels(self) -> tuple[QWidget, ...]:
        """What takes the keys, in the order of the "next panel" key."""
        return self.tree, self.form, self.beside.words

    def set_kit(self, kit: Kit) -> None:
        """Use another theme."""
        self.beside.set_kit(kit)

    # --- session

    def show_session(self, session: Session) -> None:
        """Show a job that was just opened."""
        self._key, self._group, self._path = "job", "job", ("job",)
        self._wanted = None
        self._tries.clear()
        self.form.forget()
        self.renew_session(session)

    def renew_session(self, session: Session) -> None:
        """Show the same job, changed or not; what is being typed stays."""
        same = self.session is not None and self.session.loaded is session.loaded
        self.session = session
        if not same:
            loaded = session.loaded
            self.ahead.ask(lambda: (loaded, parts_of(loaded.text, loaded.job)))
            self.renew_seen()

    def _keep(self, made: tuple[LoadedJob, Parts]) -> None:
        """Keep the parts that were made beforehand, off the window's thread, for when the view is shown."""
        self._made = made

    def close_all(self) -> None:
        """Drop all that goes on; the window shuts."""
        self.ahead.close()

    def bring_up_to_date(self) -> None:
        if self.session is None:
            return
        loaded, made = self.session.loaded, self._made
        self.parts = made[1] if made is not None and made[0] is loaded else parts_of(loaded.text, loaded.job)
        wanted = self._wanted or self._path
        here = next((one for one in self.parts.items if one.path == wanted and wanted), None)
        if here is not None:
            self._key, self._group, self._path, self._wanted = here.key, here.group, here.path, None
        self.status.setText(_HINT)
        self.refusal.setText("")
        self.tree.show_parts(self.parts, self._key)
        self._show()

    @property
    def item(self) -> Item | None:
        """The thing that is chosen."""
        return self.parts.item(self._key) if self.parts is not None and self._key else None

    @property
    def group(self) -> Group:
        """The group that is chosen, or that the thing chosen is in."""
        return next(one for one in GROUPS if one.name == self._group)

    def _choose(self, key: str, group: str) -> None:
        self._key, self._group = key, group
        item = self.item
        self._path = item.path if item is not None else ()
        self._show()

    def _show(self) -> None:
        session, parts, item = self.session, self.parts, self.item
        if session is None or parts is None:
            return
        known, job = dict(parts.known), session.loaded.job
        method = next((one for one in job.methods if item is not None and one.id == item.method), None)
        known["@operations"] = tuple(one.id for one in method.operations) if method is not None else ()
        product = next((one for one in job.products if item is not None and one.id == item.product), None)
        known["@curves"] = tuple(product.curves) if product is not None else ()
        self.form.show_item(item, known)
        self.form.tell()
        self.form.setVisible(item is not None and bool(item.blocks))
        self.beside.show_item(session.loaded.job, item, self._group)
        self._allow(item)

    def _allow(self, item: Item | None) -> None:
        """Allow what can be done with the thing chosen, and say what it is called."""
        group = self.group
        listed = item is not None and bool(item.path) and group.key != ""
        in_gangs = group.name == "gangs" and item is not None
        in_method = item is not None and group.name == "methods" and bool(item.path)
        last = item.path[-1] if item is not None and item.path[2:3] == ("operations",) else -1
        place = last if isinstance(last, int) else -1
        self.add.setText(f"&Add {group.one}" if group.grows else "&Add")
        self.add.setEnabled(group.grows)
        self.add.setMenu(self._methods_menu() if group.name == "elements" else None)
        self.shift.setVisible(group.name == "gangs")
        self.shift.setEnabled(in_gangs)
        self.copy.setEnabled(listed and group.grows)
        self.remove.setEnabled(listed)
        for button in self.steps:
            button.setVisible(group.name == "methods")
            button.setEnabled(in_method)
        self.earlier.setEnabled(place > 0)
        self.later.setEnabled(0 <= place < len(self._operations(item)) - 1)
        self.own.setVisible(group.name in ("products", "methods"))
        self.own.setEnabled(item is not None and item.builtin)

    def _methods_menu(self) -> QMenu:
        menu = QMenu(self)
        if self.session is not None:
            for method in self.session.loaded.job.methods:
                action = menu.addAction(one_line(method.name)[:80].replace("&", "&&"))
                action.triggered.connect(partial(self.add_one, method.id))
        return menu

    # --- changing

    def _change(self, path: Path, changes: dict[Path, Any], words: str) -> None:
        item = self.item
        if item is None:
            return
        made: dict[Path, Any] = {}
        for block in item.blocks:
            made |= changes_of(block, {one: value for one, value in changes.items() if one[:-1] == block.path})
        if made:
            self._ask(Try(f"{words} of {item.title[:60]}", made, path, changes))

    def _ask(self, wanted: Try) -> None:
        self._tries = [*self._tries[-_MOST_TRIES:], wanted]
        self.change_wanted.emit(wanted.words, wanted.made)

    def add_one(self, method: str = "") -> None:
        """Add a thing of the chosen group; an element by its method, with what the job lacks for it if wanted."""
        if self.session is None or self.parts is None or not self.group.grows:
            return
        job, key = self.session.loaded.job, self.group.key
        try:
            table = new_table(job, key, method if isinstance(method, str) else "")
        except ValueError as error:
            self.status.setText(f"{str(error)[:1].upper()}{str(error)[1:]}.")
            return
        lacks = lacking(job, job.method(table["method"])) if key == "elements" else None
        put = partial(self._put, f"{self.group.one} added", (key, self.parts.count(key)), table)
        if lacks is None:
            put()
        else:
            more = partial(put, lacks.changes(job))
            self.refusal.offer(lacks.words, "Add the element, and what the job lacks for it: one step of undo", more)

    def copy_it(self) -> None:
        """Add a copy of the thing chosen; of a shift, to the same gang."""
        item, parts, session = self.item, self.parts, self.session
        if item is None or parts is None or session is None or not item.path:
            return
        *holder, number = item.path
        tables = self._at(tuple(holder))
        table = dict(tables[number])
        if len(item.path) == 2:
            table = copied(table, session.loaded.job, self.group.key)
        elif "id" in table:
            table["id"] = free_id(str(table["id"]), [str(one.get("id")) for one in tables])
        self._put(f"copy of {item.title[:60]}", (*holder, len(tables)), table)

    def add_shift(self) -> None:
        """Add a day shift to the gang chosen, or to the gang of the shift chosen."""
        item = self.item
        if item is not None and len(item.path) >= 2:
            holder = (*item.path[:2], "shifts")
            self._put("shift added", (*holder, len(self._at(holder))), new_shift())

    def _operations(self, item: Item | None) -> Any:
        """Return the operations that the file has of the method chosen, or of that in which the thing chosen is."""
        listed = item is not None and item.group == "methods" and len(item.path) >= 2
        return self._at((*item.path[:2], "operations")) if item is not None and listed else ()

    def add_to_method(self, key: str) -> None:
        """Add an operation ("operations") or a gap ("gaps") to the method chosen."""
        item, session = self.item, self.session
        method = (
            next((one for one in session.loaded.job.methods if one.id == item.method), None)
            if (item is not None and session is not None)
            else None
        )
        if item is None or session is None or method is None or not item.path:
            return
        try:
            table = new_operation(session.loaded.job, method) if key == "operations" else new_gap(method)
        except ValueError as error:
            self.status.setText(f"{str(error)[:1].upper()}{str(error)[1:]}.")
            return
        holder = item.path[:2]
        self._put(f"{key[:-1]} added", (*holder, key, len(self._at(holder).get(key, ()))), table)

    def move_operation(self, by: int) -> None:
        """Let the operation chosen change places with the one before (-1) or after (1)."""
        item = self.item
        if item is None or item.path[2:3] != ("operations",):
            return
        *holder, number = item.path
        listed = self._at(tuple(holder))
        here, there = (*holder, number), (*holder, int(number) + by)
        self._wanted = there
        made = {there: dict(listed[number]), here: dict(listed[int(number) + by])}
        self._ask(Try(f"{item.title[:60]} moved", made, there))

    def remove_it(self) -> None:
        """Take the thing chosen out of the job."""
        item = self.item
        if item is not None and item.path and self.group.key:
            self._ask(Try(f"{item.title[:60]} removed", {item.path: None}, item.path))

    def take_in(self) -> None:
        """Copy a built-in product or method into the job."""
        item, session, parts = self.item, self.session, self.parts
        if item is None or not item.builtin or session is None or parts is None:
            return
        if item.group == "methods":
            table = stated(session.loaded.job.method(item.method))
        else:
            product = session.loaded.job.product(item.product)
            table = {name: plain(value) for name, value in product if value not in (None, "", {})}
        self._put(f"{item.title[:60]} taken into the job", (item.group, parts.count(item.group)), table)

    def _put(self, words: str, path: Path, table: dict[str, Any], more: Mapping[Path, Any] | None = None) -> None:
        self._wanted = path
        self._ask(Try(words, {**(more or {}), path: table}, path))

    def _at(self, path: Path) -> Any:
        """Return what the file holds at a path."""
        here: Any = self.parts.table if self.parts is not None else {}
        for step in path:
            here = here[step]
        return here

    def show_refusal(self, error: Exception, made: Mapping[Path, Any]) -> None:
        """Say at its field why a change was refused; what was typed stays, and is tried without what is to blame."""
        refused = next((one for one in self._tries if one.made == made), None)
        if refused is None or self.parts is None:
            return
        self._tries.remove(refused)
        self._wanted = None
        faults = error.faults if isinstance(error, JobFileError) else ()
        told = told_at(faults, refused, self.parts.table)
        for path, words in told.items():
            self.form.say_fault(path, f"Not taken: {words}")
        rest = [self.form.said(fault, self.parts.table) for fault in faults] or [str(error)]
        again = without_blamed(refused, told, faults, self.parts.table)
        if again:
            self._change(refused.path, again, refused.words.rpartition(" of ")[0])
        elif refused.path not in told and not self.form.say_fault(refused.path, f"Not taken: {' '.join(rest)[:600]}"):
            self.refusal.setText(f"Not done: {refused.words}. {' '.join(rest)[:600]}")
