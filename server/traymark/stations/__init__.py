"""Stations: invites, joining, roles, revocation, log prefixes."""
