"""A shop in one file, and a shop again from that file."""
