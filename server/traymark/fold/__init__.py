"""The fold: log in, state out (F5). No clock, no randomness, no I/O."""
