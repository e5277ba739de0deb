"""``If-Match``: a change meant for a version that is no longer there is refused (RFC 9110, 13.1.1)."""

from __future__ import annotations

import hashlib
from collections.abc import Callable

from django.utils.http import parse_etags

from golfstats.ground.faults import ProblemError, Refusal


def etag(version: int) -> dict[str, str]:
    """The header that tells a row's version."""
    return {"ETag": f'"{version}"'}


def check_if_match(given: str | None, version: int, what: str, *, needed: bool = False) -> None:
    """A 412 problem with the present tag if other versions are given; ``*`` is any.

    ``needed``: a 428 problem (RFC 6585, 3) if none is, so that nobody overwrites what they have not seen.
    """
    if given is None and needed:
        raise ProblemError(
            "version-needed",
            f"Say in If-Match which version of the {what} you mean: the ETag that you read, or *",
            Refusal.UNCONDITIONAL,
            headers=etag(version),
        )
    if given is None or {"*", str(version)} & {_version_in(tag) for tag in parse_etags(given)}:
        return
    raise _changed(what, etag(version))


def check_tag(given: str | None, present: Callable[[], str], what: str) -> None:
    """Likewise of rows without a version, by the tag of what a read answers; made only if somebody names one."""
    tags = set(parse_etags(given or ""))
    if not tags or "*" in tags:
        return
    tag = present()
    if tag not in {one.removeprefix("W/").strip('"') for one in tags}:
        raise _changed(what, {"ETag": f'"{tag}"'})


def digest(content: bytes) -> str:
    """The tag of an answer by its bytes."""
    return hashlib.sha256(content).hexdigest()[:24]


def _changed(what: str, headers: dict[str, str]) -> ProblemError:
    title = f"The {what} was changed since you read it"
    return ProblemError("changed-meanwhile", title, Refusal.CHANGED, headers=headers)


def _version_in(tag: str) -> str:
    """The tag of an answer goes on after the row's version, because analysis changes the answer and not the row.

    Compressing an answer makes its tag weak; another weak tag is none of ours.
    """
    version, goes_on, _ = tag.removeprefix("W/").strip('"').partition(".")
    return "" if tag.startswith("W/") and not goes_on else version
