"""Self-tests: a page of the shop's server that runs on the device being repaired, for a quarter of an hour.

They live in memory only. Nothing of them is in the log, in the database or in a backup before a technician confirms a
reading, which then is an event like any other; a restart of the server forgets them, and a new one is shown.
"""
