"""What is kept between builds: results that follow from bytes alone, safe to delete.

``Store`` holds records in ``.kbgen/kept.db`` beside the tree, each under a key that names
everything it depends on, each with a checksum; what is damaged, of another program or of
other bytes is as good as not there. ``pack`` and ``unpack`` turn values of our own classes
into bytes and back, and nothing else: a tree that came by mail brings no code along.
``in_order`` shares work between processes where there is enough of it, ``beside`` does one
thing meanwhile, ``elsewhere`` in a process that gives back what it held.
"""

from kbgen.kept.apart import Apart, apart
from kbgen.kept.digests import digest
from kbgen.kept.hands import Work, beside, elsewhere, in_order, worth_sharing
from kbgen.kept.listing import digest_of_listing, listed, listing
from kbgen.kept.packed import Unpackable, pack, unpack
from kbgen.kept.program import program_digest
from kbgen.kept.stamps import Stamp, is_settled, stamp_of
from kbgen.kept.store import Laid, Record, Same, Store, open_store

__all__ = [
    "Apart",
    "Laid",
    "Record",
    "Same",
    "Stamp",
    "Store",
    "Unpackable",
    "Work",
    "apart",
    "beside",
    "digest",
    "digest_of_listing",
    "elsewhere",
    "in_order",
    "is_settled",
    "listed",
    "listing",
    "open_store",
    "pack",
    "program_digest",
    "stamp_of",
    "unpack",
    "worth_sharing",
]
