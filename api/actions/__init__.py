"""What a person does: fetch, decide, keep."""
