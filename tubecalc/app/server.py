"""Serves the pages with Voila, with the settings that keep kernels, files and strangers in hand."""

from __future__ import annotations

import os
import secrets
import socket
import sys
from pathlib import Path
from typing import Any

from traitlets.config import Config

from tubecalc.datafiles import notebooks_dir
from tubecalc.errors import InputError

TEMPLATE = "tubecalc"
PORT = 8862  # the same every time: what a browser keeps belongs to address and port
UPLOAD_LIMIT = 64 * 2**20
_SHARE = Path(__file__).resolve().parent / "voila_template"


def free_port(address: str = "127.0.0.1") -> int:
    """Ask the machine for a port that nobody listens on.

    Parameters
    ----------
    address : str
        Address to listen on.

    Returns
    -------
    int
        The port [-].

    Raises
    ------
    InputError
        If the address is not one of this machine.

    Examples
    --------
    >>> free_port() > 1023
    True
    """
    with socket.socket() as probe:
        try:
            probe.bind((address, 0))
        except OSError:
            raise InputError(
                "is not an address of this machine", where="address", got=address,
                expected='for example "127.0.0.1"',
            ) from None  # fmt: skip
        return int(probe.getsockname()[1])


def door_port(port: int | None, address: str = "127.0.0.1") -> tuple[int, str]:
    """Port to serve on: the one asked for, the usual one, or a free one.

    Parameters
    ----------
    port : int or None
        Port asked for; 0 for any free one, None for the usual one or, where that is taken, a free
        one [-].
    address : str
        Address to listen on.

    Returns
    -------
    tuple of int and str
        The port, and a sentence where it is not the usual one though none was asked for.

    Raises
    ------
    InputError
        If the port that was asked for is taken or out of range, or the address is not one of this
        machine.

    Examples
    --------
    >>> door_port(0)[1]
    ''
    """
    if port is not None and not 0 <= port <= 65535:
        raise InputError("is not a port", where="port", got=port, expected="0 to 65535")
    free = free_port(address)  # also says if the address is none of this machine
    if port is None:
        if not _taken(address, PORT):
            return PORT, ""
        return free, (
            f"Port {PORT} is taken, so this is port {free}. Jobs that a browser keeps belong to "
            "the port they were kept under: save a job to a file to have it here."
        )
    if port and (why := _taken(address, port)):
        raise InputError(
            f"cannot be used ({why})", where="port", got=port, expected="a free port, or 0 for any"
        )
    return port or free, ""


def _taken(address: str, port: int) -> str:
    """Why nobody can listen on a port, "" if one can."""
    with socket.socket() as probe:
        if os.name == "posix":
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((address, port))
        except OSError as error:
            return error.strerror or str(error)
    return ""


def _touch_xsrf(req: Any, notebook: Any, cwd: Any) -> None:
    """Set the cookie that lets a closing page stop its kernel (plain Voila never sets it)."""
    _ = req.xsrf_token


def settings(port: int, token: str, address: str = "127.0.0.1", base_url: str = "/") -> Config:
    """Settings of the server.

    Parameters
    ----------
    port : int
        Port to listen on [-].
    token : str
        Word a visitor must know; "" for none.
    address : str
        Address to listen on.
    base_url : str
        Path under which a proxy mounts the pages.

    Returns
    -------
    traitlets.config.Config
        Settings for `voila.app.Voila`.

    Examples
    --------
    >>> settings(8866, "").VoilaConfiguration.file_allowlist
    []
    """
    c = Config()
    c.Voila.ip = address
    c.Voila.port = port
    c.Voila.port_retries = 0
    c.Voila.base_url = base_url
    c.Voila.token = token
    c.Voila.open_browser = False
    c.Voila.config_file_paths = []
    c.Voila.log_level = 40
    c.Voila.tornado_settings = {"websocket_max_message_size": UPLOAD_LIMIT}
    c.VoilaConfiguration.template = TEMPLATE
    c.VoilaConfiguration.allow_template_override = "NO"
    c.VoilaConfiguration.allow_theme_override = "NO"
    c.VoilaConfiguration.file_allowlist = []
    c.VoilaConfiguration.prelaunch_hook = _touch_xsrf
    c.VoilaExecutor.timeout = 120
    c.MappingKernelManager.cull_idle_timeout = 600
    c.MappingKernelManager.cull_interval = 60
    c.MappingKernelManager.cull_connected = False
    return c


def _show_the_way() -> None:
    """Let Voila find our template and let the kernels find this very package."""
    for name, folder in (("JUPYTER_PATH", _SHARE), ("PYTHONPATH", _SHARE.parents[2])):
        known = os.environ.get(name, "")
        if str(folder) not in known.split(os.pathsep):
            os.environ[name] = str(folder) + (os.pathsep + known if known else "")


def _application() -> Any:
    """Make a Voila whose front door is the start page instead of a list of files."""
    from jupyter_server.base.handlers import JupyterHandler
    from jupyter_server.utils import url_path_join
    from voila.app import Voila

    class Door(JupyterHandler):
        def get(self) -> None:
            query = f"?{self.request.query}" if self.request.query else ""
            self.redirect(url_path_join(self.base_url, "voila/render/start.ipynb") + query)

    class Pages(Voila):  # type: ignore[misc]
        def init_handlers(self) -> list[Any]:
            door = [(self.server_url, Door)]
            return door + list(super().init_handlers())

    return Pages


def serve(
    port: int | None = None,
    *,
    browser: bool = True,
    token: str | None = None,
    address: str = "127.0.0.1",
    base_url: str = "/",
) -> None:
    """Serve the pages until interrupted.

    Parameters
    ----------
    port : int, optional
        Port to listen on, 0 for any free one; the usual one, or a free one where that is taken,
        when not given [-].
    browser : bool
        Open the start page in a browser.
    token : str, optional
        Word a visitor must know. One is made up when it is not given; "" asks for none.
    address : str
        Address to listen on; the default serves this machine only.
    base_url : str
        Path under which a proxy mounts the pages.

    Raises
    ------
    InputError
        If the address is not one of this machine, the port is taken or out of range.
    """
    port, moved = door_port(port, address)
    word = secrets.token_urlsafe(18) if token is None else token
    _show_the_way()
    app = _application()(config=settings(port, word, address, base_url))
    app.initialize([str(notebooks_dir())])
    host = "127.0.0.1" if address in ("", "0.0.0.0") else address
    url = f"http://{host}:{port}{base_url}" + (f"?token={word}" if word else "")
    print(f"tubecalc is open at {url}\nStop it with Ctrl+C.", flush=True)
    if moved:
        print(moved, flush=True)
    if browser:
        import threading
        import webbrowser

        threading.Timer(1.0, webbrowser.open, (url,)).start()
    app.start()


if __name__ == "__main__":
    serve(int(sys.argv[1]) if len(sys.argv) > 1 else None, browser=False, token="")
