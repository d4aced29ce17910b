"""The server's log: events in the order they arrived, and what is derived from them (F3, F4)."""
