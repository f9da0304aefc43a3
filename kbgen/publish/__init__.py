"""Writing a whole site, all or nothing.

The new site is written into a folder beside the published one, with hard links to
whatever did not change, brought safely to the disk, and then the two folders change
places in one step. The address ledger of the tree goes out last. A build that fails
or is killed at any moment leaves the earlier site or the new one, never a mixture;
what it left lying about is put right when the next build starts.
"""

from kbgen.publish.folder import FolderRefused, PublishError
from kbgen.publish.held import Held, Stamps
from kbgen.publish.publication import Publication, Written, publishing

__all__ = [
    "FolderRefused",
    "Held",
    "Publication",
    "PublishError",
    "Stamps",
    "Written",
    "publishing",
]
