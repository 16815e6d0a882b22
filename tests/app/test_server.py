"""The server: settings that keep strangers, files and kernels in hand; a template of our own."""

from __future__ import annotations

import socket
from pathlib import Path

import pytest

from tubecalc.app import server
from tubecalc.errors import InputError

TEMPLATE = Path(server.__file__).parent / "voila_template" / "voila" / "templates" / "tubecalc"


def test_settings_follow_the_measured_advice() -> None:
    c = server.settings(8866, "word")
    assert c.Voila.token == "word"
    assert c.Voila.port_retries == 0
    assert c.VoilaConfiguration.file_allowlist == []
    assert c.VoilaConfiguration.allow_template_override == "NO"
    assert c.MappingKernelManager.cull_idle_timeout > 0
    assert c.MappingKernelManager.cull_connected is False
    assert c.Voila.tornado_settings["websocket_max_message_size"] > 50 * 2**20


def test_template_asks_nothing_of_other_hosts() -> None:
    for path in TEMPLATE.iterdir():
        text = path.read_text(encoding="utf-8")
        assert "http:" not in text, path.name
        assert "https:" not in text, path.name
        assert "//cdn" not in text, path.name


def test_hook_touches_the_cookie_that_stops_kernels() -> None:
    class Request:
        touched = False

        @property
        def xsrf_token(self) -> bytes:
            self.touched = True
            return b"x"

    request = Request()
    server._touch_xsrf(request, None, None)
    assert request.touched


def test_template_is_found_by_the_path_that_is_set(monkeypatch: pytest.MonkeyPatch) -> None:
    from voila.paths import collect_template_paths

    monkeypatch.delenv("JUPYTER_PATH", raising=False)
    monkeypatch.setenv("PYTHONPATH", "")
    server._show_the_way()
    found = collect_template_paths(["voila", "nbconvert"], server.TEMPLATE, prune=True)
    assert str(TEMPLATE) in found


def test_a_taken_port_is_a_sentence() -> None:
    with socket.socket() as busy:
        busy.bind(("127.0.0.1", 0))
        busy.listen()
        port = busy.getsockname()[1]
        with pytest.raises(InputError, match=rf'^port: cannot be used .*got "{port}"'):
            server.serve(port, browser=False, token="")


def test_the_usual_port_is_the_same_every_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """What a browser keeps belongs to address and port."""
    free = server.free_port()
    monkeypatch.setattr(server, "PORT", free)
    assert server.door_port(None) == (free, "")
    assert server.door_port(None) == (free, "")


def test_the_usual_port_is_not_a_common_one() -> None:
    assert server.PORT not in (80, 443, 3000, 5000, 8000, 8080, 8443, 8501, 8866, 8888)
    assert 1024 <= server.PORT < 32768  # below those that machines hand out


def test_a_taken_usual_port_gives_way_and_says_what_that_means(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    with socket.socket() as busy:
        busy.bind(("127.0.0.1", 0))
        busy.listen()
        usual = busy.getsockname()[1]
        monkeypatch.setattr(server, "PORT", usual)
        port, said = server.door_port(None)
        assert port != usual
        assert f"Port {usual} is taken, so this is port {port}." in said
        assert "belong to the port" in said
        with pytest.raises(InputError, match="cannot be used"):  # asked for, it is no other
            server.door_port(usual)


@pytest.mark.parametrize("port", [-1, 70000])
def test_a_port_out_of_range_is_a_sentence(port: int) -> None:
    with pytest.raises(
        InputError, match=rf'^port: is not a port, got "{port}", expected 0 to 65535'
    ):
        server.serve(port, browser=False, token="")


def test_an_address_of_another_machine_is_a_sentence() -> None:
    with pytest.raises(InputError, match=r"^address: is not an address of this machine"):
        server.free_port("203.0.113.7")
