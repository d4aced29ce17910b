"""Cards and documents: what may change and be erased, outside the log (F7)."""
