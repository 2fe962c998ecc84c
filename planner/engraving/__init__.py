"""Step 5: a tune and its marks become engraved music."""
