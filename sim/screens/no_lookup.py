"""The server asks nobody outside for this computer's address.

Streamlit compares the origin of a page that wants a connection with the addresses under which this computer is known,
and asks a server on the internet for the outside one (`streamlit.web.server.server_util.is_url_from_allowed_origins`).
A page from elsewhere would so make this program call out, and no setting switches that off. Without an answer such a
page is refused as before. Whoever opens the app under one of this computer's own addresses is let in before that.
"""

from __future__ import annotations

from streamlit import net_util


def forbid() -> None:
    """From now on this computer's addresses are not known to the server, and not asked for."""
    net_util.get_external_ip = _unknown
    net_util.get_internal_ip = _unknown


def _unknown() -> str | None:
    return None
