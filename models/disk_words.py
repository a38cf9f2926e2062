"""Why the disk refuses, in plain words and not in those of the operating system."""

from __future__ import annotations

import errno

_WORDS = {
    errno.EACCES: "you have no permission for it",
    errno.EPERM: "you have no permission for it",
    errno.EROFS: "the disk may only be read",
    errno.ENOENT: "there is no such folder",
    errno.EEXIST: "a file stands where a folder should be",
    errno.ENOTDIR: "a file stands where a folder should be",
    errno.EISDIR: "a folder stands where a file should be",
    errno.ENOTEMPTY: "the folder is not empty",
    errno.ELOOP: "links lead in a circle there",
    errno.ENAMETOOLONG: "the name is too long",
    errno.EINVAL: "the disk takes no such name",
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "your share of the disk is used up",
    errno.EFBIG: "the disk takes no file as big as that",
    errno.EIO: "the disk does not answer",
    errno.EBUSY: "something else is using it",
    errno.EXDEV: "it lies on another disk",
}
FAILING = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)
"""Refusals for which what the user wrote is not to blame."""


def disk_reason(error: OSError) -> str:
    """Why the disk refused.

    Args:
        error: what the operating system raised.

    Returns:
        A few words for the end of a sentence.
    """
    return _WORDS.get(
        error.errno or 0, f"the disk refuses it (code {error.errno})" if error.errno else "the disk refuses it"
    )
