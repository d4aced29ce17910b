"""Traymark: every scan, tick, reading, photo and move is an event; what people see is a fold of events."""

__version__ = "0.1.0"
