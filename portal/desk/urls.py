from django.urls import path

from portal.desk import views

DESK = "submissions/<uuid:pk>/desk/"

urlpatterns = [
    path("queue/", views.queue, name="queue"),
    path("queue/hand-over/", views.hand_over_ticked, name="queue_hand_over"),
    path("phrases/", views.phrases, name="phrases"),
    path("phrases/list/", views.phrases_list, name="phrases_list"),
    path("phrases/<int:pk>/", views.phrase, name="phrase"),
    path("phrases/<int:pk>/delete/", views.delete_phrase, name="phrase_delete"),
    path(DESK, views.desk, name="desk"),
    path(DESK + "claim/", views.claim, name="desk_claim"),
    path(DESK + "release/", views.release, name="desk_release"),
    path(DESK + "hand-over/", views.hand_over_from_desk, name="desk_hand_over"),
    path(DESK + "swing/", views.swing, name="desk_swing"),
    path(DESK + "read-again/", views.reread_seen, name="desk_reread_seen"),
    path(DESK + "draft/", views.draft, name="desk_draft"),
    path(DESK + "rating/", views.rating, name="desk_rating"),
    path(DESK + "counting/", views.counting, name="desk_counting"),
    path(DESK + "markup/", views.markup, name="desk_markup"),
    path(DESK + "assignment/", views.assignment, name="desk_assignment"),
    path(DESK + "changes/", views.changes, name="desk_changes"),
    path(DESK + "wanted/", views.wanted, name="desk_wanted"),
    path(DESK + "compare/", views.compare, name="desk_compare"),
    path(DESK + "cards/", views.cards, name="desk_cards"),
    path(DESK + "evaluation/", views.preview, name="desk_preview"),
    path(DESK + "publish/", views.publish, name="desk_publish"),
    path(DESK + "<slug:stop>/", views.desk, name="desk"),
    path("submissions/<uuid:pk>/film-again/", views.film_again, name="desk_film_again"),
    path("clips/<uuid:pk>/skeleton/", views.skeleton, name="clip_skeleton"),
    path("clips/<uuid:pk>/stills/<int:frame>.jpg", views.still, name="clip_still"),
]
