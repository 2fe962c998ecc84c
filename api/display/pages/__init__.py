"""What does a page say? One view a page."""
