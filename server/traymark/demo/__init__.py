"""An invented shop in the middle of its day, written as real stations write. Nothing in it exists."""
