"""What does a sheet say? One view a kind of paper."""
