"""The hashing and the proofs of the log, against published vectors and against the definition."""

import hashlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.core import merkle

# The test data of Certificate Transparency's reference implementation: eight entries, and the root after each.
ENTRIES = [
    "", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f",
]  # fmt: skip
ROOTS = [
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
]


class Tree(dict[tuple[int, int], bytes]):
    """A list of entries, and its complete nodes as a log keeps them."""

    def __init__(self, entries: list[bytes]) -> None:
        super().__init__()
        self.entries: list[bytes] = []
        for entry in entries:
            for level, number, found in merkle.grown(len(self.entries), merkle.leaf_hash(entry), self.node):
                self[level, number] = found
            self.entries.append(entry)

    def node(self, level: int, number: int) -> bytes:
        return self[level, number]

    def root(self, size: int) -> bytes:
        return merkle.root(size, self.node)


def by_definition(entries: list[bytes]) -> bytes:
    """RFC 6962, 2.1, word for word."""
    if not entries:
        return hashlib.sha256(b"").digest()
    if len(entries) == 1:
        return hashlib.sha256(b"\0" + entries[0]).digest()
    k = max(2**power for power in range(32) if 2**power < len(entries))
    return hashlib.sha256(b"\1" + by_definition(entries[:k]) + by_definition(entries[k:])).digest()


def test_the_published_roots_come_out() -> None:
    tree = Tree([bytes.fromhex(one) for one in ENTRIES])
    assert [tree.root(size).hex() for size in range(1, 9)] == ROOTS
    assert tree.root(0).hex() == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"


sizes = st.integers(1, 130)


@given(sizes, st.data())
def test_every_entry_is_proven_and_no_other(size: int, data: st.DataObject) -> None:
    tree = Tree([str(number).encode() for number in range(size)])
    root = tree.root(size)
    assert root == by_definition(tree.entries)
    number = data.draw(st.integers(0, size - 1))
    path = merkle.inclusion(number, size, tree.node)
    leaf = merkle.leaf_hash(tree.entries[number])
    assert len(path) <= (size - 1).bit_length()
    assert merkle.includes(leaf, number, size, path, root)
    assert not merkle.includes(merkle.leaf_hash(b"another"), number, size, path, root)
    assert not merkle.includes(leaf, number, size, [*path, root], root)
    assert not merkle.includes(leaf, size, size, path, root)
    if path:
        assert not merkle.includes(leaf, number, size, path[:-1], root)
        assert not merkle.includes(leaf, number ^ 1, size, path, root)
    # Of another tree's size only the shape is told: the numbers that lie alike in both.
    assert not merkle.includes(leaf, number, size, path, tree.root(size - 1))


@given(sizes, st.data())
def test_a_longer_list_is_proven_to_begin_with_the_shorter_and_a_rewritten_one_is_not(
    size: int, data: st.DataObject
) -> None:
    first = data.draw(st.integers(0, size))
    tree = Tree([str(number).encode() for number in range(size)])
    proof = merkle.consistency(first, size, tree.node)
    assert merkle.continues(first, tree.root(first), size, tree.root(size), proof)
    if not first:
        return
    changed = data.draw(st.integers(0, first - 1))
    other = Tree([b"rewritten" if number == changed else entry for number, entry in enumerate(tree.entries)])
    forged = merkle.consistency(first, size, other.node)
    assert not merkle.continues(first, tree.root(first), size, other.root(size), forged)
    assert not merkle.continues(first, tree.root(first), size, other.root(size), proof)


@pytest.mark.parametrize(("first", "size"), [(3, 2), (-1, 4), (0, 0)])
def test_lists_that_cannot_be_are_no_proof(first: int, size: int) -> None:
    tree = Tree([b"a", b"b", b"c", b"d"])
    root = tree.root(4)
    assert not merkle.continues(first, root, size, root, [root]) or first == size
