from django.urls import path

from portal.intake.views import joining, sending, status, uploading, withdrawing

urlpatterns = [
    path("filming/", sending.filming, name="filming"),
    path("join/<str:token>/", joining.join, name="join"),
    path("join/<str:token>/who/", joining.join_who, name="join_who"),
    path("players/<uuid:pk>/camps/<int:camp_pk>/send/", sending.submission_new, name="submission_new"),
    path("submissions/<uuid:pk>/", status.submission, name="submission"),
    path("submissions/<uuid:pk>/progress/", status.submission_progress, name="submission_progress"),
    path("submissions/<uuid:pk>/note/", status.submission_note, name="submission_note"),
    path("submissions/<uuid:pk>/clip/", sending.submission_clip, name="submission_clip"),
    path("submissions/<uuid:pk>/clips/", sending.clip_upload, name="clip_upload"),
    path("submissions/<uuid:pk>/uploads/", uploading.upload_new, name="upload_new"),
    path("uploads/<uuid:pk>/", uploading.upload, name="upload"),
    path("submissions/<uuid:pk>/withdraw/", withdrawing.submission_withdraw, name="submission_withdraw"),
    path("consents/<int:pk>/take-back/", withdrawing.consent_take_back, name="consent_take_back"),
]
