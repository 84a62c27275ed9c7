"""What the tests of publishing share."""

from __future__ import annotations

from tests.publish.servers import sshd

__all__ = ["sshd"]
