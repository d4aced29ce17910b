"""Handlers of the modules that serve a subject of their own: joining, staff, labels, the customer's page."""

from importlib import import_module
from importlib.util import find_spec
from typing import Any

_MODULES = ("join", "staff", "labels", "ticket")


def plugged_handlers() -> list[Any]:
    """The list `handlers` of each module."""
    found: list[Any] = []
    for name in _MODULES:
        if find_spec(f"traymark.api.{name}") is not None:
            found.extend(import_module(f"traymark.api.{name}").handlers)
    return found
