"""The stall in the pocket: one file for a phone, from public facts alone."""
