"""General-purpose search libraries, as a reader of their manuals would set them up.

Needed for the comparison alone, imported only when it runs: tantivy and bm25s are the
``bench`` extra; Whoosh is there, SQLite comes with Python.
"""

from __future__ import annotations

import re
import sqlite3
import tempfile
from collections.abc import Callable

from collections_read import TestCollection
from measures import TOP

Ranker = Callable[[str], list[str]]
WORD = re.compile(r"[a-z0-9]+")


def rankers(collection: TestCollection) -> dict[str, Ranker]:
    return {
        "Whoosh, defaults": whoosh_defaults(collection),
        "SQLite FTS5, porter": sqlite_fts5(collection),
        "tantivy, stemmed": tantivy_stemmed(collection),
        "bm25s, stemmed": bm25s_stemmed(collection),
    }


def whoosh_defaults(collection: TestCollection) -> Ranker:
    from whoosh import fields, index, qparser

    schema = fields.Schema(id=fields.ID(stored=True), text=fields.TEXT)
    made = index.create_in(tempfile.mkdtemp(), schema)
    writer = made.writer()
    for row in collection.documents:
        writer.add_document(id=row["id"], text=f"{row['title']}\n{row['text']}")
    writer.commit()
    searcher = made.searcher()
    parser = qparser.QueryParser("text", schema, group=qparser.OrGroup)

    def ranked(question: str) -> list[str]:
        query = parser.parse(" ".join(WORD.findall(question.lower())))
        return [hit["id"] for hit in searcher.search(query, limit=TOP)]

    return ranked


def sqlite_fts5(collection: TestCollection) -> Ranker:
    base = sqlite3.connect(":memory:")
    base.execute(
        "create virtual table note using fts5(id unindexed, text, tokenize='porter unicode61')"
    )
    base.executemany(
        "insert into note values (?, ?)",
        [(row["id"], f"{row['title']}\n{row['text']}") for row in collection.documents],
    )

    def ranked(question: str) -> list[str]:
        words = dict.fromkeys(WORD.findall(question.lower()))
        if not words:
            return []
        query = " OR ".join(f'"{word}"' for word in words)
        found = base.execute(
            "select id from note where note match ? order by bm25(note), rowid limit ?",
            (query, TOP),
        )
        return [id_ for (id_,) in found]

    return ranked


def tantivy_stemmed(collection: TestCollection) -> Ranker:
    import tantivy

    builder = tantivy.SchemaBuilder()
    builder.add_text_field("id", stored=True, tokenizer_name="raw")
    builder.add_text_field("text", tokenizer_name="en_stem")
    made = tantivy.Index(builder.build())
    writer = made.writer(50_000_000, 1)
    for row in collection.documents:
        writer.add_document(tantivy.Document(id=row["id"], text=f"{row['title']}\n{row['text']}"))
    writer.commit()
    made.reload()
    searcher = made.searcher()

    def ranked(question: str) -> list[str]:
        words = WORD.findall(question.lower())
        if not words:
            return []
        query = made.parse_query(" ".join(words), ["text"])
        return [searcher.doc(at)["id"][0] for _, at in searcher.search(query, TOP).hits]

    return ranked


def bm25s_stemmed(collection: TestCollection) -> Ranker:
    import bm25s
    from snowballstemmer.english_stemmer import EnglishStemmer

    stemmer = EnglishStemmer()

    def tokens(texts: list[str]) -> object:
        return bm25s.tokenize(texts, stopwords="en", stemmer=stemmer.stemWords, show_progress=False)

    made = bm25s.BM25()
    made.index(
        tokens([f"{row['title']}\n{row['text']}" for row in collection.documents]),
        show_progress=False,
    )
    size = min(TOP, len(collection.documents))

    def ranked(question: str) -> list[str]:
        found, _ = made.retrieve(tokens([question]), k=size, show_progress=False)
        return [collection.documents[at]["id"] for at in found[0]]

    return ranked
