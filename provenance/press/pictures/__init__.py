"""The door to Pillow: photos in, public pictures out."""
