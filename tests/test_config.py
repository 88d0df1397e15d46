"""A shop's settings: defaults that serve, options before environment, and a bad value is named."""

import stat
from pathlib import Path

import pytest

from webapp.config import settings
from webapp.core.errors import BadInput
from webapp.paths import PROCEDURES


def test_without_a_word_the_shop_is_served_from_its_data_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    made = settings({})
    assert (made.host, made.port, made.data) == ("0.0.0.0", 8080, tmp_path / "data")
    assert made.database_url == f"sqlite:///{tmp_path}/data/baybook.db"
    assert made.photos == tmp_path / "data/photos"


def test_an_option_goes_before_the_environment(tmp_path: Path) -> None:
    said = {"PORT": "9000", "HOST": "127.0.0.1", "DATA": str(tmp_path / "a"), "UNRELATED": "x"}
    made = settings(said, port=9001, data=None)
    assert (made.port, made.host, made.data) == (9001, "127.0.0.1", tmp_path / "a")


def test_an_empty_variable_is_an_unset_one(tmp_path: Path) -> None:
    assert settings({"PORT": "", "DATA": str(tmp_path)}).port == 8080


@pytest.mark.parametrize("port", ["http", "0", "65536", "-1", "80.5", "٨٠", "1" * 5000])
def test_a_bad_port_is_named(tmp_path: Path, port: str) -> None:
    with pytest.raises(BadInput) as refused:
        settings({"PORT": port, "DATA": str(tmp_path)})
    assert (refused.value.code, refused.value.field) == ("bad-setting", "PORT")
    assert refused.value.message.startswith(f"PORT='{port[:20]}")
    assert "1 to 65535" in refused.value.message


def test_a_data_folder_that_is_a_file_is_named(tmp_path: Path) -> None:
    (tmp_path / "data").write_text("")
    with pytest.raises(BadInput, match=r"DATA=.* cannot be used as a folder") as refused:
        settings({}, data=tmp_path / "data")
    assert refused.value.field == "DATA"


def test_a_bad_database_address_is_named_without_showing_its_password(tmp_path: Path) -> None:
    with pytest.raises(BadInput) as refused:
        settings({"DATABASE_URL": "hunter2 is no address", "DATA": str(tmp_path)})
    assert refused.value.field == "DATABASE_URL"
    assert "hunter2" not in refused.value.message


@pytest.mark.parametrize(
    ("name", "value", "says"),
    [
        ("READ_DATABASE_URL", "sqlite:///other.db", "must be that of a PostgreSQL"),
        ("READ_DATABASE_URL", "second", "is not a database address"),
        ("DATABASE_CONNECTIONS", "1", "DATABASE_CONNECTIONS='1' must be a whole number from 2 to 1000"),
        ("DATABASE_CONNECTIONS", "many", "must be a whole number"),
    ],
)
def test_what_a_standby_and_a_pool_cannot_be_is_named(tmp_path: Path, name: str, value: str, says: str) -> None:
    with pytest.raises(BadInput, match=says) as refused:
        settings({name: value, "DATA": str(tmp_path)})
    assert refused.value.field == name


def test_an_unknown_option_is_named(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="COLOUR='blue' is not a setting; there are DATA"):
        settings({"DATA": str(tmp_path)}, colour="blue")


def test_the_secret_is_made_once_and_only_its_owner_may_read_it(tmp_path: Path) -> None:
    first, again, elsewhere = (
        settings({}, data=tmp_path),
        settings({}, data=tmp_path),
        settings({}, data=tmp_path / "b"),
    )
    assert first.secret == again.secret != elsewhere.secret
    assert len(first.secret) == 64
    assert stat.S_IMODE((tmp_path / "secret").stat().st_mode) == 0o600
    assert first.secret not in repr(first)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["b", "secret"]


def test_a_damaged_secret_is_named(tmp_path: Path) -> None:
    settings({}, data=tmp_path)
    (tmp_path / "secret").write_text("abc")
    with pytest.raises(BadInput, match="damaged file 'secret'"):
        settings({}, data=tmp_path)


def test_a_shop_may_work_by_its_own_procedures_and_a_folder_without_them_is_named(tmp_path: Path) -> None:
    (tmp_path / "own" / "shared").mkdir(parents=True)
    own = {"DATA": str(tmp_path / "data"), "PROCEDURES": str(tmp_path / "own")}
    with pytest.raises(BadInput, match=r"shared/catalogue\.yaml is missing in it") as refused:
        settings(own)
    assert refused.value.field == "PROCEDURES"
    (tmp_path / "own" / "shared" / "catalogue.yaml").write_text("")
    assert settings(own).procedures == tmp_path / "own"
    assert settings({"DATA": str(tmp_path / "data")}).procedures == PROCEDURES


def test_https_lies_363_above_plain_http_unless_said_otherwise(tmp_path: Path) -> None:
    data = {"DATA": str(tmp_path)}
    assert settings(data).https_port == 8443
    assert settings(data, port=9000).https_port == 9363
    assert settings(data | {"HTTPS_PORT": "443"}).https_port == 443
    assert settings(data | {"HTTPS_PORT": "0"}).https_port is None


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("Shop.Example", ("shop.example", None)),
        ("192.168.1.20", ("192.168.1.20", None)),
        ("fd00::0002", ("fd00::2", None)),
        ("shop.example:443", ("shop.example", 443)),
    ],
)
def test_an_address_is_a_name_or_an_ip_address(tmp_path: Path, text: str, meant: tuple[str, int | None]) -> None:
    assert settings({"ADDRESS": text, "DATA": str(tmp_path)}).address == meant


@pytest.mark.parametrize(
    ("said", "field", "message"),
    [
        ({"ADDRESS": "https://shop.example"}, "ADDRESS", "must be a host name or an IP address, without http://"),
        ({"ADDRESS": "the shop"}, "ADDRESS", "ADDRESS='the shop' must be a host name"),
        ({"ADDRESS": "shop.example:0"}, "ADDRESS", "1 to 65535"),
        ({"HTTPS_PORT": "8080"}, "HTTPS_PORT", "is PORT too"),
        ({"HTTPS_PORT": "https"}, "HTTPS_PORT", "HTTPS_PORT='https' must be a whole number"),
        ({"PORT": "65500"}, "HTTPS_PORT", "HTTPS_PORT='65863' must be a whole number"),
        ({"TLS_CERT": "/nowhere.pem"}, "TLS_CERT", "is no file that can be read"),
        ({"TLS_KEY": "/"}, "TLS_KEY", "is no file that can be read"),
        ({"TLS_KEY": __file__}, "TLS_CERT", "are given together"),
    ],
)
def test_what_cannot_be_served_with_is_named(tmp_path: Path, said: dict[str, str], field: str, message: str) -> None:
    with pytest.raises(BadInput) as refused:
        settings({"DATA": str(tmp_path), **said})
    assert (refused.value.code, refused.value.field) == ("bad-setting", field)
    assert message in refused.value.message
