"""Everything the shop keeps: tables, transactions, the journal, photos. Functions that take a session; no Flask."""
