"""What is taken away as data or as plain text?"""
