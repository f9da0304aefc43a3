"""A recording that is named on the command line."""

from __future__ import annotations

from difflib import get_close_matches
from typing import TYPE_CHECKING

from kbgen.commands.common import WrongUse

if TYPE_CHECKING:
    from kbgen.content import RecordingFile, Tree

__all__ = ["recording_named"]


def recording_named(tree: Tree, name: str) -> RecordingFile:
    """Return the recording of an id.

    Raises: WrongUse where there is none, with the nearest one that there is.
    """
    if name in tree.recordings:
        return tree.recordings[name]
    if tree.holds("recording", name):
        raise WrongUse(
            f"content/recordings/{name}.yaml cannot be read",
            "kbgen inspect says what is wrong with it",
        )
    near = get_close_matches(name, tree.recordings, n=1)
    known = f"did you mean {near[0]}?" if near else f"there are: {', '.join(tree.recordings)}"
    raise WrongUse(
        f"there is no recording {name}",
        known if tree.recordings else "write content/recordings/ID.yaml first",
    )
