"""What tells of somebody and hangs on no row of theirs: emails, the admin's log, sessions."""

from __future__ import annotations

import json
import re
from contextlib import suppress
from dataclasses import dataclass, field
from uuid import UUID

from django.contrib.admin.models import LogEntry
from django.contrib.sessions.models import Session
from django.core import signing

from portal.desk.models import Phrase
from portal.outbox.models import Email
from portal.people import guardian_invites, invites

INVITATION = re.compile(r"/join/(player|guardian)/([^/\s]+)")
SALTS = {"player": invites.SALT, "guardian": guardian_invites.SALT}


@dataclass
class Traces:
    """How somebody can be found: `ids` of rows, `names`, `addresses` that go with them, and `near`, the addresses of people
    who stay: emails to those are looked through for the names.
    """

    ids: set[str] = field(default_factory=set)
    names: set[str] = field(default_factory=set)
    addresses: set[str] = field(default_factory=set)
    near: set[str] = field(default_factory=set)
    players: set[UUID] = field(default_factory=set)
    accounts: set[int] = field(default_factory=set)

    def erase(self) -> None:
        self._emails()
        self._log_entries()
        self._sessions()
        self._phrases()

    def _emails(self) -> None:
        """All to the addresses that go; of others those that link to what is gone, or name who is gone."""
        Email.objects.filter(about__in=self.players).delete()
        emails = Email.objects.values_list("pk", "to", "subject", "body").iterator()
        told = [pk for pk, to, subject, body in emails if self._is_told_in(to.lower(), f"{subject}\n{body}")]
        Email.objects.filter(pk__in=told).delete()

    def _is_told_in(self, to: str, text: str) -> bool:
        if to in {address.lower() for address in self.addresses}:
            return True
        if to in {address.lower() for address in self.near} and _stands_in(text, self.names):
            return True
        return _stands_in(text, self.ids | self.addresses | self.whole_names) or bool(_offered_in(text) & self.ids)

    def _log_entries(self) -> None:
        rows = LogEntry.objects.values_list("pk", "object_id", "object_repr", "change_message").iterator()
        told = [
            pk
            for pk, object_id, shown, change in rows
            if object_id in self.ids or self.named_in(shown) or self.named_in(change)
        ]
        LogEntry.objects.filter(pk__in=told).delete()
        LogEntry.objects.filter(user__in=self.accounts).delete()

    def _sessions(self) -> None:
        """Their own, and those of a browser that is on the way in with their address or by a link to their things."""
        theirs = [session.pk for session in Session.objects.iterator() if self._is_in(session)]
        Session.objects.filter(pk__in=theirs).delete()

    def _phrases(self) -> None:
        """A coach's phrase holds no player's name but one who came after it was written."""
        for phrase in Phrase.objects.iterator():
            if _stands_in(phrase.text, self.whole_names):
                phrase.delete()

    def _is_in(self, session: Session) -> bool:
        held = session.get_decoded()
        if str(held.get("_auth_user_id", "")) in {str(pk) for pk in self.accounts}:
            return True
        text = json.dumps(held, default=str).lower()
        wanted = self.addresses if "_auth_user_id" in held else self.ids | self.addresses
        return any(one.lower() in text for one in wanted)

    @property
    def whole_names(self) -> set[str]:
        """First and last name together; a first name alone is somebody else's, too."""
        return {name for name in self.names if " " in name}

    def named_in(self, text: str) -> bool:
        """Whether a name, address or id stands in the text as words of their own."""
        return _stands_in(text, self.names | self.addresses | self.ids)


def _stands_in(text: str, wanted: set[str]) -> bool:
    words = [re.escape(one) for one in wanted if one]
    return bool(words) and re.search(rf"(?<!\w)(?:{'|'.join(words)})(?!\w)", text, re.IGNORECASE) is not None


def _offered_in(text: str) -> set[str]:
    """The players to whom invitations in the text lead: their links hold the id in a packed form."""
    found = set()
    for kind, token in INVITATION.findall(text):
        with suppress(signing.BadSignature, KeyError):
            found.add(str(signing.loads(token, salt=SALTS[kind])["player"]))
    return found
