"""Handlers of modules with a subject of their own: joining, staff, labels, the customer's page, self-tests."""

from typing import Any

from traymark.api import join, labels, selftest, staff, ticket, tray_map


def plugged_handlers() -> list[Any]:
    """The list `handlers` of each module."""
    return [*join.handlers, *staff.handlers, *labels.handlers, *tray_map.handlers, *ticket.handlers, *selftest.handlers]
