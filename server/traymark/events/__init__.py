"""Events: bytes in, a checked event or the reason why not out (F2, F3)."""
