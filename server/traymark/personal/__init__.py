"""What the shop holds of a person: finding it, handing it out, erasing it (F7.10)."""
