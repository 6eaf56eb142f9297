"""bloomhaul serve by https, as a telephone in the yard needs it."""

import re
import ssl
import subprocess
import sys
from pathlib import Path

import httpx
import pytest

ROOT = Path(__file__).parents[3]


@pytest.fixture
def certificate(tmp_path: Path) -> tuple[Path, Path]:
    """A certificate for this machine that nobody has signed, and its key."""
    chain, key = tmp_path / "yard.pem", tmp_path / "yard.key"
    command = ["openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes", "-days", "2"]
    names = ["-subj", "/CN=yard.local", "-addext", "subjectAltName=DNS:yard.local,IP:127.0.0.1"]
    subprocess.run([*command, "-keyout", str(key), "-out", str(chain), *names], check=True, capture_output=True)
    return chain, key


def _command(store: Path, *options: str) -> list[str]:
    return [sys.executable, "-m", "api.cli", "serve", "--port", "0", "--no-browser", "--store", str(store), *options]


def test_with_a_certificate_everything_goes_by_https(certificate: tuple[Path, Path], tmp_path: Path) -> None:
    chain, key = certificate
    command = _command(tmp_path / "plans.sqlite", "--certificate", str(chain), "--certificate-key", str(key))
    server = subprocess.Popen(command, stderr=subprocess.PIPE, text=True, cwd=ROOT)
    assert server.stderr is not None
    try:
        found = re.search(r"https://127\.0\.0\.1:\d+", server.stderr.readline())
        assert found
        with httpx.Client(verify=ssl.create_default_context(cafile=chain), base_url=found[0]) as caller:
            assert caller.get("/drive/worker.js").status_code == 200
            # A form of a page that came by https names https as where it stands.
            assert caller.post("/bring-in-demo", headers={"origin": found[0]}).status_code == 303
    finally:
        server.terminate()
        server.wait(60)
        server.stderr.close()


def test_a_certificate_and_a_key_that_do_not_fit_are_told_in_one_sentence(
    certificate: tuple[Path, Path], tmp_path: Path
) -> None:
    chain, key = certificate
    command = _command(tmp_path / "plans.sqlite", "--certificate", str(key), "--certificate-key", str(chain))
    ended = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, timeout=60)
    assert (ended.returncode, ended.stderr.count("\n")) == (4, 1)
    assert "the certificate and its key do not fit" in ended.stderr


def test_neither_of_the_two_stands_alone(certificate: tuple[Path, Path], tmp_path: Path) -> None:
    command = _command(tmp_path / "plans.sqlite", "--certificate", str(certificate[0]))
    ended = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, timeout=60)
    assert ended.returncode == 2
    assert "allowed: both, or neither" in ended.stderr


def test_without_https_on_a_network_the_server_says_that_no_telephone_keeps_a_sheet(tmp_path: Path) -> None:
    command = _command(tmp_path / "plans.sqlite", "--host", "0.0.0.0")
    server = subprocess.Popen(command, stderr=subprocess.PIPE, text=True, cwd=ROOT)
    assert server.stderr is not None
    try:
        told = [server.stderr.readline() for _ in range(3)]
    finally:
        server.terminate()
        server.wait(60)
        server.stderr.close()
    assert "there is no password" in told[0]
    assert "Without https (--certificate) no telephone keeps a driver's sheet" in told[1]
    assert "Serving at http://127.0.0.1:" in told[2]
