"""What the tests of publishing share."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import pytest
from botocore.loaders import JSONFileLoader

from tests.publish.servers import sshd
from tests.publish.stores import moto, rclone

__all__ = ["moto", "rclone", "sshd"]


@pytest.fixture(scope="session", autouse=True)
def models_read_once() -> Iterator[None]:
    """The descriptions of services, which each client of boto3 would read anew."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(JSONFileLoader, "load_file", cache(JSONFileLoader().load_file))
        yield
