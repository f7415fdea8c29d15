import base64
import json
import shutil
import stat
import subprocess
import sys

import pytest
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import padding, rsa
from hypothesis import given
from hypothesis import strategies as st

from tests.people import some_keys
from walkaround.store import keys as kept
from walkaround.store.keys import KeyBroken, KeyReadable, KeysRefused, KeysShared, read_or_make

OAEP = padding.OAEP(padding.MGF1(hashes.SHA256()), hashes.SHA256(), None)

# RFC 7638, section 3.1: the example key and its thumbprint.
RFC_7638_N = (
    "0vx7agoebGcQSuuPiLJXZptN9nndrQmbXEps2aiAFbWhM78LhWx4cbbfAAtVT86zwu1RK7aPFFxuhDR1L6tSoc_BJECPeb"
    "WKRXjBZCiFV4n3oknjhMstn64tZ_2W-5JsGY4Hc5n9yBXArwl93lqt7_RN5w6Cf0h4QyQ5v-65YGjQR0_FDW2QvzqY368Q"
    "QMicAtaSqzs8KJZgnYb9c7d0zgdAZHzu6qMQvRL5hajrn1n91CbOpbISD08qNLyrdkt-bFTWhAI4vMQFh6WeZu0fM4lFd2"
    "NcRwr3XPksINHaQ-G_xBniIqbw0Ls1jF44-csFCur-kEgU8awapJzKnqDKgw"
)
RFC_7638_THUMBPRINT = "NzbLsXh8uDCcd-6MNwXF4W_7noWXFZAfHkxZsRGC9Xs"

# What a phone does, with the platform's own WebCrypto.
BROWSER = """
const { subtle } = globalThis.crypto ?? require("node:crypto").webcrypto
const [jwk, words] = process.argv.slice(-2)
const how = { name: "RSA-OAEP", hash: "SHA-256" }
subtle.importKey("jwk", JSON.parse(jwk), how, false, ["encrypt"])
  .then((key) => subtle.encrypt(how, key, new TextEncoder().encode(words)))
  .then((sealed) => console.log(Buffer.from(sealed).toString("base64url")))
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A data folder with keys in it; tests that spoil one do so in a copy."""
    data = tmp_path_factory.mktemp("data")
    read_or_make(data)
    return data


@pytest.fixture(autouse=True, scope="module")
def _made_beforehand():
    some_keys()  # or else the first example of a property pays for it


@pytest.fixture
def copy(folder, tmp_path):
    return shutil.copytree(folder, tmp_path / "copy")


def number(text):
    return int.from_bytes(base64.urlsafe_b64decode(text + "=" * (-len(text) % 4)), "big")


def seal(words, jwk=None):
    """Seal as another program would that knows only the published key."""
    jwk = jwk or some_keys().seal_jwk()
    public = rsa.RSAPublicNumbers(number(jwk["e"]), number(jwk["n"])).public_key()
    return base64.urlsafe_b64encode(public.encrypt(words.encode(), OAEP)).decode()


def test_keys_are_long_and_differ(folder):
    keys = read_or_make(folder)

    assert len(keys.secret_key) == len(keys.pin_key) == 32
    assert keys.secret_key != keys.pin_key
    assert keys.seal_key.key_size == 3072


def test_keys_are_the_same_at_the_next_start(folder):
    first, second = read_or_make(folder), read_or_make(folder)

    assert (first.secret_key, first.pin_key) == (second.secret_key, second.pin_key)
    assert first.seal_jwk() == second.seal_jwk()


def test_only_their_owner_reads_keys(folder):
    modes = {path.name: stat.S_IMODE(path.stat().st_mode) for path in (folder / "keys").iterdir()}

    assert modes == {"secret_key": 0o600, "pin_key": 0o600, "seal_key.pem": 0o600}
    assert stat.S_IMODE((folder / "keys").stat().st_mode) == 0o700


def test_keys_do_not_show_themselves():
    assert "s" * 8 not in repr(some_keys())


def test_processes_that_start_at_once_agree(tmp_path):
    code = (
        "import pathlib, sys; from walkaround.store.keys import read_or_make;"
        "k = read_or_make(pathlib.Path(sys.argv[1]));"
        "print(k.secret_key.hex(), k.pin_key.hex(), k.seal_jwk()['kid'])"
    )
    command = [sys.executable, "-c", code, str(tmp_path / "new")]

    running = [subprocess.Popen(command, stdout=subprocess.PIPE, text=True) for _ in range(4)]
    said = {process.communicate(timeout=60)[0] for process in running}

    assert len(said) == 1
    assert len(said.pop().split()) == 3
    assert len(list((tmp_path / "new" / "keys").iterdir())) == 3  # no drafts are left


@pytest.mark.parametrize("name", ["secret_key", "pin_key", "seal_key.pem"])
def test_a_key_that_others_can_read_is_refused(copy, name):
    (copy / "keys" / name).chmod(0o640)

    with pytest.raises(KeyReadable, match=f"{name} can be read by other users"):
        read_or_make(copy)


@pytest.mark.parametrize("name", ["secret_key", "pin_key", "seal_key.pem"])
@pytest.mark.parametrize("content", ["", "ab" * 31, "no key at all"])
def test_a_short_or_spoilt_key_is_refused_and_not_replaced(copy, name, content):
    (copy / "keys" / name).write_text(content)

    with pytest.raises(KeyBroken, match=name):
        read_or_make(copy)

    assert (copy / "keys" / name).read_text() == content


def test_a_seal_key_that_is_too_short_is_refused(copy):
    short = rsa.generate_private_key(65537, 2048)
    pem = short.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    (copy / "keys" / "seal_key.pem").write_bytes(pem)

    with pytest.raises(KeyBroken):
        read_or_make(copy)


def test_two_names_for_one_key_are_refused(copy):
    shutil.copy(copy / "keys" / "secret_key", copy / "keys" / "pin_key")

    with pytest.raises(KeysShared) as caught:
        read_or_make(copy)

    assert isinstance(caught.value, KeysRefused)


def test_the_thumbprint_is_that_of_rfc_7638():
    jwk = {"kty": "RSA", "n": RFC_7638_N, "e": "AQAB", "alg": "RS256", "kid": "2011-04-29"}

    assert kept.thumbprint(jwk) == RFC_7638_THUMBPRINT


def test_only_the_public_half_is_published():
    jwk = some_keys().seal_jwk()

    assert set(jwk) == {"kty", "n", "e", "alg", "use", "kid"}
    assert (jwk["kty"], jwk["alg"], jwk["use"], jwk["e"]) == ("RSA", "RSA-OAEP-256", "enc", "AQAB")
    assert number(jwk["n"]) == some_keys().seal_key.public_key().public_numbers().n


def test_what_another_program_seals_is_opened():
    sealed = seal('{"pin": "4821", "entry": "0193-a"}')

    assert some_keys().unseal(sealed) == {"pin": "4821", "entry": "0193-a"}
    assert some_keys().unseal(sealed.rstrip("=")) == {"pin": "4821", "entry": "0193-a"}


@pytest.mark.skipif(shutil.which("node") is None, reason="Node's WebCrypto is not here")
def test_what_webcrypto_seals_is_opened():
    words = '{"pin": "4821", "entry": "é"}'
    command = ["node", "-e", BROWSER, json.dumps(some_keys().seal_jwk()), words]

    sealed = subprocess.run(command, capture_output=True, text=True, check=True).stdout.strip()

    assert some_keys().unseal(sealed) == {"pin": "4821", "entry": "é"}


@pytest.mark.parametrize(
    "words",
    ["", "[]", "4821", "{}", '{"pin": "4821"}', '{"pin": 4821, "entry": "a"}', "{", "\ufeff{}"],
)
def test_a_seal_with_other_words_in_it_is_refused(words):
    with pytest.raises(ValueError, match=r".*"):
        some_keys().unseal(seal(words))


def test_a_seal_for_another_key_is_refused(folder):
    sealed = seal('{"pin": "4821", "entry": "a"}', read_or_make(folder).seal_jwk())

    with pytest.raises(ValueError, match=r".*"):
        some_keys().unseal(sealed)


@given(st.text(max_size=600) | st.binary(min_size=384, max_size=384).map(kept._base64url))
def test_anything_else_is_refused_with_a_value_error(text):
    with pytest.raises(ValueError, match=r".*"):
        some_keys().unseal(text)


def test_ten_megabytes_are_refused_before_they_are_decoded():
    with pytest.raises(ValueError, match="too long"):
        some_keys().unseal("A" * 10_000_000)
