from django.urls import path

from portal.owner.views import home, joining, people, start

urlpatterns = [
    path("start/<str:token>/", start.first_start_link, name="first_start_link"),
    path("join/coach/<str:token>/", joining.join_coach, name="join_coach"),
    path("owner/", home.home, name="owner_home"),
    path("owner/start/", start.first_start, name="first_start"),
    path("owner/site/", home.site, name="site"),
    path("owner/mail/test/", home.test_mail, name="test_mail"),
    path("owner/people/", people.people, name="people"),
    path("owner/people/<int:pk>/", people.person, name="person"),
    path("owner/people/<int:pk>/change/", people.change, name="person_change"),
    path("owner/people/invites/<int:pk>/revoke/", people.revoke, name="coach_invite_revoke"),
    path("owner/camps/<int:pk>/coaches/", people.camp_coaches, name="camp_coaches"),
]
