"""An invented shop in the middle of its day, written the way real stations write. Nothing in it exists."""
