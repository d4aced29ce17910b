"""Events: bytes in; out comes a checked event, or the reason why it is none (F2, F3)."""
