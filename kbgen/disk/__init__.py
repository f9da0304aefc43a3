"""Files and folders brought safely to the disk, and locks that end with their process.

What every room that writes has in common: a file appears whole or not at all, and two
processes that would get in each other's way follow one another.
"""

from kbgen.disk.files import add_file, replace_file, sync_folder, sync_tree, write_new
from kbgen.disk.lock import locked_file, locked_folder
from kbgen.disk.swap import exchange, settle

__all__ = [
    "add_file",
    "exchange",
    "locked_file",
    "locked_folder",
    "replace_file",
    "settle",
    "sync_folder",
    "sync_tree",
    "write_new",
]
