"""No signal of ours has the name of one of Qt's: Qt would send it at times of its own."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Iterator

from PySide6.QtCore import QObject, Signal

import app


def classes() -> Iterator[type[QObject]]:
    """Yield every class of the desktop that can have signals."""
    for module in pkgutil.walk_packages(app.__path__, "app."):
        if module.name != "app.__main__":
            for _name, one in inspect.getmembers(importlib.import_module(module.name), inspect.isclass):
                if issubclass(one, QObject) and one.__module__.startswith("app."):
                    yield one


def test_no_signal_hides_one_of_qt() -> None:
    found = {one for one in classes() if any(isinstance(value, Signal) for value in vars(one).values())}
    assert len(found) > 40
    hidden = [
        f"{one.__module__}.{one.__name__}.{name}"
        for one in found
        for name, value in vars(one).items()
        if isinstance(value, Signal) and any(name in vars(base) for base in one.__mro__[1:])
    ]
    assert hidden == []
