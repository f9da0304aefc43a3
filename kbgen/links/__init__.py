"""References, addresses, the link graph, and the ledger of every address ever published.

``parse_reference`` reads what a link names, ``address_of`` says where that is on the
site, ``link_graph`` gathers who leads to whom and finds the links that are wrong, and
``check_ledger`` holds what the tree publishes against what was ever published.
"""

from kbgen.links.address import (
    FIXED_PAGES,
    address_of,
    moment_anchor,
    plain_thread,
    printed_form,
    thread_slug,
)
from kbgen.links.edge import Edge, Lead, Relation
from kbgen.links.graph import Graph, link_graph
from kbgen.links.ledger import (
    Entry,
    Forward,
    Ledger,
    format_ledger,
    forwards,
    kept_anchors,
    load_ledger,
    merged_ledger,
    parse_ledger,
    promised_anchors,
    sum_of_ledger,
)
from kbgen.links.named import named_by_note, named_by_part, named_by_question, named_by_recording
from kbgen.links.reference import LINK_SCHEMES, Reference, Scheme, clock, parse_reference, seconds
from kbgen.links.renewal import check_ledger, published_addresses
from kbgen.links.rules import written_in_file, written_in_note

__all__ = [
    "FIXED_PAGES",
    "LINK_SCHEMES",
    "Edge",
    "Entry",
    "Forward",
    "Graph",
    "Lead",
    "Ledger",
    "Reference",
    "Relation",
    "Scheme",
    "address_of",
    "check_ledger",
    "clock",
    "format_ledger",
    "forwards",
    "kept_anchors",
    "link_graph",
    "load_ledger",
    "merged_ledger",
    "moment_anchor",
    "named_by_note",
    "named_by_part",
    "named_by_question",
    "named_by_recording",
    "parse_ledger",
    "parse_reference",
    "plain_thread",
    "printed_form",
    "promised_anchors",
    "published_addresses",
    "seconds",
    "sum_of_ledger",
    "thread_slug",
    "written_in_file",
    "written_in_note",
]
