"""What a store refuses, in words: with the line of publish.yaml it is about, and what to do.

In: exceptions of boto3. Out: Refused. The codes are those of the S3 API reference, "Error
responses"; stores that imitate it use the commonest of them.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from provenance.problems import Place, Said
from provenance.publish.refused import Refused, refused_at
from provenance.records.publishing import S3

_CODES = {
    "InvalidAccessKeyId": "key",
    "SignatureDoesNotMatch": "secret",
    "ExpiredToken": "expired",
    "InvalidToken": "expired",
    "TokenRefreshRequired": "expired",
    "AccessDenied": "denied",
    "AllAccessDisabled": "denied",
    "403": "denied",
    "NoSuchBucket": "bucket",
    "InvalidBucketName": "bucket",
    "PermanentRedirect": "region",
    "AuthorizationHeaderMalformed": "region",
    "IllegalLocationConstraintException": "region",
    "IllegalRegion": "region",
    "301": "region",
    "RequestTimeTooSkewed": "clock",
    "RequestExpired": "clock",
    "PreconditionFailed": "meanwhile",
    "ConditionalRequestConflict": "meanwhile",
    "QuotaExceeded": "full",
    "EntityTooLarge": "full",
}
_UNREACHED = ("EndpointConnectionError", "ConnectTimeoutError", "ReadTimeoutError",
    "ProxyConnectionError", "ConnectionClosedError", "HTTPClientError")  # fmt: skip
_NO_KEYS = ("NoCredentialsError", "PartialCredentialsError", "ProfileNotFound",
    "CredentialRetrievalError")  # fmt: skip
_TRUST = ("SSLError",)


class WasThere(Refused):
    """A condition of a put did not hold: another was there before."""


@contextmanager
def bucket_told(settings: S3) -> Iterator[None]:
    """What the store and the way to it refuse, as Refused."""
    try:
        yield
    except Refused:
        raise
    except Exception as error:
        if not _is_foreign(error):
            raise
        raise _refused(error, settings) from error


def _is_foreign(error: Exception) -> bool:
    """Whether boto3 said it; a wrong address is a plain ValueError there."""
    modules = {kind.__module__.partition(".")[0] for kind in type(error).__mro__}
    is_address = isinstance(error, ValueError) and "endpoint" in str(error)
    return bool(modules & {"botocore", "boto3", "s3transfer", "urllib3"}) or is_address


def _refused(error: Exception, settings: S3) -> Refused:
    why = _why(error)
    place = _place(why, settings)
    values: dict[str, Any] = {
        "bucket": str(settings.bucket),
        "endpoint": str(settings.endpoint or "S3"),
        "region": _right_region(error),
        "why": " ".join(str(error).split())[:300],
    }
    kind = WasThere if why == "meanwhile" else Refused
    what = Said(f"stores.{why}", **values)
    if why == "region" and values["region"]:
        remedy = Said("stores.write_region", region=values["region"])
    else:
        remedy = Said(_REMEDIES[why], bucket=values["bucket"])
    return refused_at(place, what, remedy, kind)


_REMEDIES = {
    "key": "stores.set_keys",
    "secret": "stores.set_keys",
    "no_keys": "stores.set_keys",
    "expired": "stores.fresh_keys",
    "denied": "stores.may",
    "bucket": "stores.make_bucket",
    "region": "stores.look_up_region",
    "clock": "stores.set_clock",
    "meanwhile": "stores.again",
    "full": "stores.make_room",
    "unreached": "stores.look_at_line",
    "trust": "stores.mend_trust",
    "fails": "stores.go_on",
}


def _why(error: Exception) -> str:
    names = {kind.__name__ for kind in type(error).__mro__}
    for why, kinds in (("no_keys", _NO_KEYS), ("trust", _TRUST), ("unreached", _UNREACHED)):
        if names & {*kinds}:
            return why
    if isinstance(error, ValueError):
        return "unreached"
    code = str(_answer(error).get("Error", {}).get("Code", ""))
    return "bucket" if "Invalid bucket name" in str(error) else _CODES.get(code, "fails")


def _place(why: str, settings: S3) -> Place:
    """The value of publish.yaml to look at."""
    if why in ("unreached", "trust") and settings.endpoint:
        return settings.endpoint.place
    if why == "region" and settings.region:
        return settings.region.place
    return settings.bucket.place


def _right_region(error: Exception) -> str:
    """The region in which the bucket is, where the store tells it."""
    answer = _answer(error)
    headers = answer.get("ResponseMetadata", {}).get("HTTPHeaders", {})
    return str(headers.get("x-amz-bucket-region") or answer.get("Error", {}).get("Region") or "")


def _answer(error: Exception) -> dict[str, Any]:
    return getattr(error, "response", None) or {}
