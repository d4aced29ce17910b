"""Stations: invites, joining, roles, revocation, incarnations."""
