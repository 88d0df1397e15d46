"""A Merkle tree over a list that only grows: the hashing and the proofs of RFC 6962, section 2.1, with SHA-256.

Whoever has the tree's root can be shown with a few hashes that one entry is in the list (`inclusion`), or that a longer
list begins with the whole of a shorter one (`consistency`); the second list hashes to no other root.

`node(level, number)` gives the hash over the `number`-th 2^level entries, for those that are complete: whoever keeps
them (`grown` says which to add) makes a proof from some log2(n) of them.
"""

import hashlib
from collections.abc import Callable, Sequence

Node = Callable[[int, int], bytes]
EMPTY = hashlib.sha256().digest()


def leaf_hash(entry: bytes) -> bytes:
    return hashlib.sha256(b"\x00" + entry).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    return hashlib.sha256(b"\x01" + left + right).digest()


def grown(size: int, leaf: bytes, node: Node) -> list[tuple[int, int, bytes]]:
    """The complete nodes (level, number, hash) that come to be when a leaf is added to a list of that size."""
    made, level, number = [(0, size, leaf)], 0, size
    while number % 2:
        leaf = node_hash(node(level, number - 1), leaf)
        level, number = level + 1, number // 2
        made.append((level, number, leaf))
    return made


def root(size: int, node: Node) -> bytes:
    """The root over the first `size` entries; that of none is the hash of nothing."""
    return _over(0, size, node) if size else EMPTY


def _over(begin: int, end: int, node: Node) -> bytes:
    """The hash over the entries from `begin` to before `end`, as the tree is cut."""
    count = end - begin
    if count & (count - 1) == 0:
        level = count.bit_length() - 1
        return node(level, begin >> level)
    middle = begin + _cut(count)
    return node_hash(_over(begin, middle, node), _over(middle, end, node))


def _cut(count: int) -> int:
    """The largest power of two that is smaller than count."""
    return 1 << (count - 1).bit_length() - 1


def inclusion(number: int, size: int, node: Node) -> list[bytes]:
    """The audit path of entry `number` (from 0) in the tree of the first `size`, from the leaf up."""

    def path(begin: int, end: int) -> list[bytes]:
        if end - begin == 1:
            return []
        middle = begin + _cut(end - begin)
        if number < middle:
            return [*path(begin, middle), _over(middle, end, node)]
        return [*path(middle, end), _over(begin, middle, node)]

    return path(0, size)


def consistency(first: int, size: int, node: Node) -> list[bytes]:
    """The proof that the list of `size` entries begins with the list of the first ones."""

    def proof(count: int, begin: int, end: int, known: bool) -> list[bytes]:
        if count == end - begin:
            return [] if known else [_over(begin, end, node)]
        cut = _cut(end - begin)
        if count <= cut:
            return [*proof(count, begin, begin + cut, known), _over(begin + cut, end, node)]
        return [*proof(count - cut, begin + cut, end, False), _over(begin, begin + cut, node)]

    return proof(first, 0, size, True) if 0 < first < size else []


def includes(leaf: bytes, number: int, size: int, path: Sequence[bytes], expected: bytes) -> bool:
    """Whether the path leads from the leaf at that number to the root of a tree of that size (RFC 9162, 2.1.3.2)."""
    if not 0 <= number < size:
        return False
    at, last, found = number, size - 1, leaf
    for beside in path:
        if last == 0:
            return False
        if at % 2 or at == last:
            found = node_hash(beside, found)
            while at % 2 == 0 and at:
                at, last = at >> 1, last >> 1
        else:
            found = node_hash(found, beside)
        at, last = at >> 1, last >> 1
    return last == 0 and found == expected


def continues(first: int, first_root: bytes, size: int, size_root: bytes, proof: Sequence[bytes]) -> bool:
    """Whether the tree of `size` entries with that root begins with the tree of the `first` (RFC 9162, 2.1.4.2)."""
    if first == size:
        return not proof and first_root == size_root
    if not 0 < first < size or not proof:
        return first == 0 and not proof
    given = [first_root, *proof] if first & (first - 1) == 0 else list(proof)
    at, last = first - 1, size - 1
    while at % 2:
        at, last = at >> 1, last >> 1
    old = new = given[0]
    for beside in given[1:]:
        if last == 0:
            return False
        if at % 2 or at == last:
            old, new = node_hash(beside, old), node_hash(beside, new)
            while at % 2 == 0 and at:
                at, last = at >> 1, last >> 1
        else:
            new = node_hash(new, beside)
        at, last = at >> 1, last >> 1
    return last == 0 and old == first_root and new == size_root
