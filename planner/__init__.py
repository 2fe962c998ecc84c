"""Pacestick's engine: how freely may this tune be played here, and who must know?

The stages of the walk are folders; ``plan.py`` calls them in order. Nothing here imports the web
service, and nothing heavy is imported until the stage that needs it is asked to work.
"""
