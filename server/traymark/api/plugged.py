"""Handlers of modules with a subject of their own: joining, staff, labels, the customer's page, self-tests."""

from typing import Any

from traymark.api import join, labels, record, selftest, staff, ticket, tray_map


def plugged_handlers() -> list[Any]:
    """The list `handlers` of each module."""
    modules = (join, staff, labels, tray_map, record, ticket, selftest)
    return [handler for module in modules for handler in module.handlers]
