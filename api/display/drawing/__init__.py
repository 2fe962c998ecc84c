"""Where people would rather look than read: views into lines and blocks, each told in words too."""
