"""The door to qrcode, and a reader of our own that proves each code."""
