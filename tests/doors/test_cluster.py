"""A study on a cluster from the command line, open and behind TLS, and what is said about either."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import pytest

from shopsim.cli import main
from shopsim.errors import EngineError
from shopsim.studies.cluster import TlsFiles
from tests.doors.test_compare import write_what_if
from tests.doors.tiny import write_shop
from tests.studies.test_cluster import started

Output = pytest.CaptureFixture[str]
_COUNT = ["--replications", "3", "--no-store", "--json", "-"]


def certificates(folder: Path) -> TlsFiles:
    """A key of our own, signed by itself, made by the `openssl` command for this one test."""
    key, certificate = str(folder / "key.pem"), str(folder / "certificate.pem")
    subprocess.run(
        ["openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes", "-days", "2",
         "-subj", "/CN=loopback", "-keyout", key, "-out", certificate],
        check=True, capture_output=True,
    )  # fmt: skip
    return TlsFiles(certificate, certificate, key)


@pytest.mark.parametrize("secured", [True, False], ids=["tls", "tcp"])
def test_a_cluster_gives_the_same_answer_byte_for_byte(tmp_path: Path, capsys: Output, secured: bool) -> None:
    ask = ["compare", str(write_shop(tmp_path)), write_what_if(tmp_path), *_COUNT]
    assert main([*ask, "--workers", "1"]) == 0
    here = capsys.readouterr().out
    assert json.loads(here)["replications"] == 3
    tls = certificates(tmp_path) if secured else None
    with started(tmp_path, workers=1, tls=tls) as (address, _):
        assert address.startswith("tls://127.0.0.1:" if secured else "tcp://127.0.0.1:")
        files = ["--tls", tls.ca, tls.certificate, tls.key] if tls else []
        assert main([*ask, "--cluster", address, *files]) == 0
        there, said = capsys.readouterr()
        assert there == here
        assert "warning" not in said
        if secured:
            assert main([*ask, "--cluster", address]) == 2
            assert capsys.readouterr().err == (
                f"{address}: this cluster asks for certificates; give --tls CA CERT KEY\n"
            )


def test_a_cluster_that_others_can_reach_is_warned_of(
    tmp_path: Path, capsys: Output, monkeypatch: pytest.MonkeyPatch
) -> None:
    def nobody(address: str, tls: TlsFiles | None) -> None:
        raise EngineError(f"{address}: nobody is there")

    monkeypatch.setattr("shopsim.studies.cluster._connect", nobody)
    ask = ["compare", str(write_shop(tmp_path)), write_what_if(tmp_path), *_COUNT, "--cluster", "tcp://192.0.2.1:9"]
    assert main(ask) == 2
    assert capsys.readouterr().err == (
        "warning: tcp://192.0.2.1:9: what goes to this cluster and back is neither encrypted nor authenticated, and "
        "whoever reaches it can run any program there; use a tls:// address with --tls\n"
        "tcp://192.0.2.1:9: nobody is there\n"
    )
