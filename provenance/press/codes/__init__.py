"""The door to qrcode."""
