"""The owner's page about coaches: invitations, switching off and on, co-owners, camps."""

import pytest
from allauth.mfa.totp.internal.auth import TOTP
from django.core import mail
from django.urls import reverse
from django.utils import timezone

from portal.outbox.models import Email
from portal.outbox.said import NO_SERVER
from portal.owner import coach_invites, coaches
from portal.owner.models import CoachInvite
from portal.people import limits, second_step
from portal.people.models import InvitationSent, User

EMAIL = "ansa@example.org"


@pytest.fixture
def page(sign_in, owner):
    """The owner's browser."""
    return sign_in(owner)


@pytest.fixture
def invite(owner, camp):
    return coach_invites.invite(owner, EMAIL, [camp])


@pytest.fixture
def link(invite):
    return reverse("join_coach", args=[coach_invites.token_for(invite)])


def change(client, person, do):
    return client.post(reverse("person_change", args=[person.pk]), {"do": do}, follow=True)


class TestInviting:
    def test_an_email_with_a_link_goes_out(self, page, camp, django_capture_on_commit_callbacks):
        with django_capture_on_commit_callbacks(execute=True):
            answer = page.post(reverse("people"), {"email": EMAIL, "camps": [camp.pk]}, follow=True)
        assert "is on its way" in answer.text
        (email,) = mail.outbox
        assert email.to == [EMAIL]
        assert email.subject == "You are invited as a coach"
        assert "http://localhost:8000/join/coach/" in email.body
        assert "14 days" in email.body

    def test_without_a_mail_server_it_is_said_that_none_goes_out(self, page, settings):
        assert "An email with a link goes out" in page.get(reverse("people")).text
        settings.OUTBOX_FORWARDS_TO = None
        said = page.post(reverse("people"), {"email": EMAIL}, follow=True).text
        assert "does not go out by itself, for no mail server is named. Give its link by hand" in said
        assert "An email with a link goes out" not in said
        assert str(NO_SERVER) in said
        assert "It goes out once it does" not in said
        email = Email.objects.get(to=EMAIL)
        assert "/join/coach/" in page.get(reverse("email", args=[email.pk])).text
        settings.DEMO = True
        said = page.post(reverse("people"), {"email": EMAIL}, follow=True).text
        assert "In this demo no email leaves the machine: the outbox shows it." in said

    def test_it_stands_on_the_page_and_can_be_taken_back(self, page, invite, link, client):
        assert EMAIL in page.get(reverse("people")).text
        page.post(reverse("coach_invite_revoke", args=[invite.pk]))
        assert client.get(link).status_code == 410
        again = page.post(reverse("coach_invite_revoke", args=[invite.pk]), follow=True)
        assert "nothing was changed" in again.text

    def test_a_second_one_ends_the_first(self, owner, invite, link, client):
        coach_invites.invite(owner, EMAIL)
        assert client.get(link).status_code == 410
        assert CoachInvite.objects.filter(revoked_at=None).count() == 1

    def test_a_coach_is_not_invited_again(self, page, coach):
        text = page.post(reverse("people"), {"email": coach.email.upper()}).text
        assert "That is a coach here already." in text
        assert "list below" not in text

    def test_ones_own_address_is_told_as_such(self, page, owner):
        text = page.post(reverse("people"), {"email": owner.email.upper()}).text
        assert "That is your own address." in text
        assert not CoachInvite.objects.exists()

    @pytest.mark.parametrize("persona", ["guardian", "player_user"])
    def test_a_familys_address_is_asked_about_once_more(
        self, persona, request, page, player, other_guardian, other_player
    ):
        address = request.getfixturevalue(persona).email
        asked = page.post(reverse("people"), {"email": address.upper()}).text
        assert "This address belongs to a family. As a coach it would see all children’s film of the camp." in asked
        assert f'name="all_the_same" value="{address}">Invite it all the same</button>' in asked
        assert "Send the invitation" not in asked
        assert mail.outbox == []
        # The answer was about this address: for another family's, it is asked again.
        another = {"email": other_guardian.email, "all_the_same": address}
        assert "This address belongs to a family" in page.post(reverse("people"), another).text
        assert not CoachInvite.objects.exists()
        page.post(reverse("people"), {"email": address.upper(), "all_the_same": address})
        assert CoachInvite.objects.get().email == address

    def test_an_address_without_players_is_asked_about_nothing(self, page, guardian):
        page.post(reverse("people"), {"email": guardian.email})
        assert CoachInvite.objects.get().email == guardian.email

    def test_there_is_a_most_for_a_day(self, page, owner):
        InvitationSent.objects.bulk_create(InvitationSent(by=owner) for _ in range(limits.A_DAY))
        answer = page.post(reverse("people"), {"email": EMAIL})
        assert "Go on tomorrow" in answer.text
        assert mail.outbox == []
        assert not CoachInvite.objects.exists()


class TestComingIn:
    def test_the_address_is_proven_by_a_code(self, link, client, camp):
        from tests.portal.people.test_player_sign_in import code_in

        assert "invites you to evaluate swings" in client.get(link).text
        code_page = client.post(link).url
        page = client.post(code_page, {"code": code_in(mail.outbox[-1])}, follow=True)
        assert "Your name" in page.text
        assert client.post(link, {"name": "Ansa Brock"}).url == reverse("queue")
        coach = User.objects.get(email=EMAIL)
        assert (coach.is_coach, coach.name, coach.is_owner) == (True, "Ansa Brock", False)
        assert list(coach.camps.all()) == [camp]
        assert client.get(link).status_code == 410

    def test_who_comes_in_is_led_nowhere_else(self, invite, link, sign_in, player):
        """“Players” stood there, which opened an empty page of families."""
        user = User.objects.create_user(EMAIL)
        client = sign_in(user)
        players = f'href="{reverse("family")}"'
        assert players not in client.get(link).text
        player.guardians.add(user)  # a parent without a name has theirs all the same
        assert players in client.get(link).text
        player.guardians.remove(user)
        coach_invites.revoke(invite)
        assert players in client.get(reverse("name")).text

    def test_another_account_cannot_take_it(self, link, sign_in, guardian):
        client = sign_in(guardian)
        assert "went to another address" in client.get(link).text
        client.post(link, {"name": "Lea"})
        guardian.refresh_from_db()
        assert not guardian.is_coach

    def test_nobody_gets_in_without_a_name(self, link, sign_in, invite):
        client = sign_in(User.objects.create_user(EMAIL))
        assert "required" in client.post(link, {"name": ""}).text
        invite.refresh_from_db()
        assert invite.is_open

    def test_a_parent_becomes_a_coach_as_well(self, owner, guardian, sign_in):
        made = coach_invites.invite(owner, guardian.email)
        sign_in(guardian).post(reverse("join_coach", args=[coach_invites.token_for(made)]), {"name": "Lea Sandvall"})
        guardian.refresh_from_db()
        assert guardian.is_coach

    @pytest.mark.parametrize("spoilt", ["days", "sign", "owner"])
    def test_a_spoilt_link_opens_nothing(self, spoilt, link, owner, client, monkeypatch):
        if spoilt == "days":
            later = timezone.now() + timezone.timedelta(days=CoachInvite.DAYS, minutes=1)
            monkeypatch.setattr("django.core.signing.time.time", later.timestamp)
        elif spoilt == "owner":  # who sent it is no owner any more
            User.objects.filter(pk=owner.pk).update(is_staff=False)
        else:
            link = link[:-3] + "xx/"
        assert client.get(link).status_code == 410

    def test_two_windows_accept_once(self, invite):
        user = User.objects.create_user(EMAIL)
        coach_invites.accept(invite, user, "Ansa Brock")
        with pytest.raises(coach_invites.InviteSpent):
            coach_invites.accept(invite, user, "Ansa Brock")


class TestCoaches:
    def test_a_coach_who_is_off_sees_no_camp_and_is_on_again(self, page, coach, camp, sign_in):
        theirs = sign_in(coach)
        assert "sees no camp" in change(page, coach, "off").text
        assert theirs.get(reverse("camp", args=[camp.pk])).status_code == 404
        assert "switched off" in page.get(reverse("people")).text
        assert camp.lead_coach is None
        change(page, coach, "on")
        assert theirs.get(reverse("camp", args=[camp.pk])).status_code == 200

    def test_a_co_owner(self, page, coach, sign_in):
        change(page, coach, "owner")
        assert sign_in(User.objects.get(pk=coach.pk)).get(reverse("people")).status_code == 200
        change(page, coach, "no_owner")
        assert sign_in(User.objects.get(pk=coach.pk)).get(reverse("people")).status_code == 404

    def test_the_only_owner_reads_why_they_cannot_stop(self, page, owner, coach):
        url = reverse("person", args=[owner.pk])
        text = page.get(url).text
        assert "Nobody else is owner, and somebody has to keep the site running" in text
        assert 'aria-describedby="about-owner" disabled>Stop being an owner</button>' in text
        change(page, coach, "owner")
        for person, words in ((owner, "Stop being an owner"), (coach, "End as an owner")):
            text = page.get(reverse("person", args=[person.pk])).text
            assert f'aria-describedby="about-owner">{words}</button>' in text
            assert "Nobody else is owner" not in text

    def test_somebody_always_stays_owner(self, page, owner):
        assert "make another owner first" in change(page, owner, "no_owner").text
        owner.refresh_from_db()
        assert owner.is_owner
        with pytest.raises(coaches.LastOwner):
            coaches.set_owner(owner, owner=False)

    def test_families_are_not_on_the_page(self, page, guardian, player):
        assert guardian.email not in page.get(reverse("people")).text
        assert page.get(reverse("person", args=[guardian.pk])).status_code == 404
        assert page.post(reverse("person_change", args=[guardian.pk]), {"do": "owner"}).status_code == 404

    def test_an_unknown_change_changes_nothing(self, page, coach):
        assert change(page, coach, "dance").status_code == 200

    def test_a_lost_second_step_is_taken_away(self, page, coach):
        TOTP.activate(coach, "A" * 32)
        assert "no second step" not in page.get(reverse("person", args=[coach.pk])).text
        change(page, coach, "forget_second_step")
        assert not second_step.has_one(coach)
        assert "no second step" in page.get(reverse("person", args=[coach.pk])).text


class TestHandingOver:
    def test_the_camp_has_new_coaches(self, page, camp, coach, other_coach, sign_in):
        url = reverse("camp_coaches", args=[camp.pk])
        assert f'value="{coach.pk}" id="id_coaches_0" checked' in " ".join(page.get(url).text.split())
        page.post(url, {"coaches": [other_coach.pk]})
        assert list(camp.coaches.all()) == [other_coach]
        assert sign_in(coach).get(reverse("camp", args=[camp.pk])).status_code == 404

    def test_a_camp_keeps_at_least_one(self, page, camp, coach):
        assert (
            "at least one coach"
            in page.post(reverse("camp_coaches", args=[camp.pk]), {"csrfmiddlewaretoken": "x"}).text
        )
        assert list(camp.coaches.all()) == [coach]

    def test_a_parent_cannot_be_put_in(self, page, camp, guardian, coach):
        page.post(reverse("camp_coaches", args=[camp.pk]), {"coaches": [guardian.pk]})
        assert list(camp.coaches.all()) == [coach]

    def test_only_the_owner_hands_over(self, sign_in, camp, coach):
        assert sign_in(coach).get(reverse("camp_coaches", args=[camp.pk])).status_code == 404
        assert "Hand over" not in sign_in(coach).get(reverse("camp", args=[camp.pk])).text
