"""Tries to sign in, and to show the word that lets a phone in, counted, so that nobody guesses by the thousand.

A try is written down before the password is looked at, so that many at once do not slip through together, and is taken out when
it succeeds. Kept are digests under this studio's key, not addresses, for a day.
"""

from __future__ import annotations

import datetime
import hashlib
import hmac
from typing import Final

from django.conf import settings
from django.utils import timezone

from clothwright.library.models import TriedSignIn
from clothwright.library.studio_models import plain_address

#: Within so long …
WITHIN: Final = datetime.timedelta(minutes=15)
#: … so many tries may fail for one account from one place, for one account from anywhere, and from one place for any account.
FOR_ACCOUNT_FROM_PLACE: Final = 5
FOR_ACCOUNT: Final = 20
FROM_PLACE: Final = 50
_KEPT: Final = datetime.timedelta(days=1)


def may_try(email: str, place: str) -> bool:
    """Write a try down, and say whether it may be made: False where too many failed lately."""
    account, where = _digest(plain_address(email)), _digest(place)
    now = timezone.now()
    TriedSignIn.objects.filter(at__lt=now - _KEPT).delete()
    TriedSignIn.objects.create(account=account, place=where, at=now)
    lately = TriedSignIn.objects.filter(at__gt=now - WITHIN)
    return (
        lately.filter(account=account, place=where).count() <= FOR_ACCOUNT_FROM_PLACE
        and lately.filter(account=account).count() <= FOR_ACCOUNT
        and lately.filter(place=where).count() <= FROM_PLACE
    )


def succeeded(email: str, place: str) -> None:
    """Forget the tries for an account from a place: who signed in is who she says."""
    TriedSignIn.objects.filter(account=_digest(plain_address(email)), place=_digest(place)).delete()


def forget_account(email: str) -> None:
    """Forget every try for an account: it has a new password."""
    TriedSignIn.objects.filter(account=_digest(plain_address(email))).delete()


def _digest(text: str) -> str:
    return hmac.new(str(settings.SECRET_KEY).encode(), text.encode(), hashlib.sha256).hexdigest()
