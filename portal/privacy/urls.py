from django.urls import path

from portal.privacy.views import erasing, reading, taking

urlpatterns = [
    path("players/<uuid:pk>/erase/", erasing.player_erase, name="player_erase"),
    path("family/erase/", erasing.account_erase, name="account_erase"),
    path("family/everything/", taking.take_everything, name="take_everything"),
    path("owner/accounts/<int:pk>/erase/", erasing.person_erase, name="person_erase"),
    path("privacy/", reading.privacy, name="privacy"),
    path("owner/privacy/", reading.owner_privacy, name="owner_privacy"),
    path("erased/", erasing.erased, name="erased"),
]
