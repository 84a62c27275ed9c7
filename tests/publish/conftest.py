"""What the tests of publishing share."""

from __future__ import annotations

from tests.publish.servers import sshd
from tests.publish.stores import moto, rclone

__all__ = ["moto", "rclone", "sshd"]
