"""People: accounts, players, and who is guardian of whom."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from datetime import date
from typing import Any, ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.contrib.auth.models import PermissionsMixin
from django.db import models
from django.db.models.functions import Lower
from django.utils.translation import gettext_lazy as _

from portal.people.folding import FoldedNames
from portal.people.names import plain_name


class UserManager(BaseUserManager["User"]):
    def create_user(self, email: str, password: str | None = None, **fields: object) -> User:
        """An account for `email`; without a password it signs in by e-mailed code only."""
        if not email:
            raise ValueError("An account needs an e-mail address.")
        user = self.model(email=self.normalize_email(email).lower(), **fields)
        user.set_password(password)  # None becomes an unusable password
        user.save(using=self._db)
        return user

    def create_superuser(self, email: str, password: str | None = None, **fields: object) -> User:
        """The owner, made at the terminal. Who sits there proves nothing by a code, which a new site may not be able to mail."""
        from portal.people import proving

        fields.setdefault("is_staff", True)
        fields.setdefault("is_superuser", True)
        user = self.create_user(email, password, **fields)
        proving.take_as_proven(user)
        return user


class User(AbstractBaseUser, PermissionsMixin):
    """Somebody who signs in. What they may see follows from their camps, their players and these marks."""

    email = models.EmailField(_("email"), unique=True)
    name = models.CharField(_("name"), max_length=80, blank=True, validators=[plain_name])
    is_coach = models.BooleanField(_("coach"), default=False, help_text=_("May open camps and review submissions."))
    is_staff = models.BooleanField(
        _("owner"), default=False, help_text=_("Keeps the site running; may open the admin.")
    )
    is_active = models.BooleanField(default=True)
    date_joined = models.DateTimeField(auto_now_add=True)

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = []
    objects = UserManager()

    class Meta:
        constraints = [models.UniqueConstraint(Lower("email"), name="user_email_any_case")]

    def __str__(self) -> str:
        return self.name or self.email

    def get_short_name(self) -> str:
        return self.name.split(" ")[0] if self.name else self.email.split("@")[0]

    @property
    def is_owner(self) -> bool:
        return self.is_active and self.is_staff

    @property
    def is_only_owner(self) -> bool:
        """Whether nobody would be left who keeps the site running."""
        others = User.objects.filter(is_staff=True, is_active=True).exclude(pk=self.pk)
        return self.is_owner and not others.exists()


class InvitationSent(models.Model):
    """That an account invited somebody by mail; counted, so that nobody floods strangers with our emails."""

    by = models.ForeignKey(User, on_delete=models.CASCADE, related_name="invitations_sent")
    at = models.DateTimeField(auto_now_add=True, db_index=True)

    def __str__(self) -> str:
        return f"{self.by} at {self.at:%Y-%m-%d %H:%M}"


class Hits(models.TextChoices):
    RIGHT = "right", _("hits right")
    LEFT = "left", _("hits left")
    BOTH = "both", _("hits both")
    UNKNOWN = "", _("not said")


class Level(models.TextChoices):
    CHILD = "child", _("up to 10")
    YOUTH = "youth", _("11 to 15")
    ADULT = "adult", _("16 and older")


ADULT = 18


class Sport(models.TextChoices):
    BASEBALL = "baseball", _("baseball")
    SOFTBALL = "softball", _("softball")


PRONOUNS = {"he": _("he"), "she": _("she"), "they": _("they")}


class Player(models.Model):
    """A hitter. Only what an evaluation needs is asked for."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    first_name = models.CharField(_("first name"), max_length=40, validators=[plain_name])
    last_name = models.CharField(_("last name"), max_length=60, blank=True, validators=[plain_name])
    folded_name = FoldedNames(of=("first_name", "last_name"))  # what a search looks in
    birth_year = models.PositiveSmallIntegerField(_("birth year"))
    hits = models.CharField(_("hits"), max_length=5, choices=Hits, blank=True, default=Hits.UNKNOWN)
    sport = models.CharField(_("sport"), max_length=8, choices=Sport, default=Sport.BASEBALL)
    pronoun = models.CharField(
        _("called"),
        max_length=4,
        choices=PRONOUNS,
        blank=True,
        default="",
        help_text=_(
            "What sentences about the player say, as the family or the newest evaluation has it. Empty: nobody said."
        ),
    )
    user = models.OneToOneField(
        User,
        null=True,
        blank=True,
        on_delete=models.SET_NULL,
        related_name="player",
        help_text=_("The player's own sign-in."),
    )
    guardians = models.ManyToManyField(User, related_name="players", blank=True)
    adult_said_at = models.DateTimeField(
        _("said to be of age"),
        null=True,
        blank=True,
        help_text=_(
            "When a guardian or coach said so, or the player at the invite. Empty: a guardian speaks for them."
        ),
    )
    adult_said_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.SET_NULL, related_name="+", verbose_name=_("said by")
    )
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["first_name", "last_name"]

    def __str__(self) -> str:
        return f"{self.first_name} {self.last_name}".strip()

    def save(self, *args: Any, update_fields: Iterable[str] | None = None, **kwargs: Any) -> None:
        """Who saves a name alone saves what a search looks in with it."""
        if update_fields is not None and {"first_name", "last_name"} & set(update_fields):
            update_fields = {*update_fields, "folded_name"}
        super().save(*args, update_fields=update_fields, **kwargs)

    @property
    def age(self) -> int:
        """Age reached this year; only the birth year is kept."""
        return date.today().year - self.birth_year

    @property
    def may_be_adult(self) -> bool:
        """Whether the birth year allows it. In the year of the 18th birthday the year alone does not say."""
        return self.age >= ADULT

    @property
    def is_minor(self) -> bool:
        """Whether a guardian speaks for this player: until somebody who may has said otherwise, whatever the calendar
        says (see portal/people/of_age.py).
        """
        return self.adult_said_at is None or not self.may_be_adult

    @property
    def lacks_guardian(self) -> bool:
        return self.is_minor and not self.guardians.filter(is_active=True).exists()

    @property
    def level(self) -> Level:
        """Which bands of the checkpoint book apply today."""
        return self.level_in(date.today().year)

    def level_in(self, year: int) -> Level:
        """Which bands apply to a film of that year: a clip that is read again later shows a hitter of the age they were."""
        age = year - self.birth_year
        if age <= 10:
            return Level.CHILD
        return Level.YOUTH if age <= 15 else Level.ADULT
