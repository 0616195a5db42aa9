"""Keeping the collector of garbage from stopping a frame."""

import gc


def settle() -> None:
    """Set aside all that is there now, so that it is not gone through again while she is sailed.

    Going through everything takes a tenth of a second; what is made after this is collected as ever. What an earlier
    call set aside is looked at again first, so that nothing stays for ever.
    """
    gc.unfreeze()
    gc.collect()
    gc.freeze()
