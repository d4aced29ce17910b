"""What the server does without being asked, and writes down as a station of its own."""
