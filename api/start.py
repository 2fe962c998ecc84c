"""Where the console script starts.

Loading the program makes many objects and throws none away. Looking for rubbish meanwhile costs a
fifth of the time a person waits for, so it begins when everything is loaded.
"""

import gc

gc.disable()

from api.cli import main as cli  # noqa: E402 - everything below is loaded while the collector rests


def run() -> None:
    """The ``pacestick`` command."""
    gc.freeze()
    gc.enable()
    cli.run()
